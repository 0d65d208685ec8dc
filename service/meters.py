"""What the service counts of its own work, in Prometheus' terms; nothing here names a person.

A meter belongs to the process. An application that shows it puts it into a registry of its own.
"""

from typing import Final

from prometheus_client import Histogram

PLANNING: Final = Histogram(
    "hoodwright_plan_seconds",
    "Plans that were made, and how long each took.",
    registry=None,
    buckets=(0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5),
)
