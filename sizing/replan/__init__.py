"""Re-planning: what is on the hook, the gauge it shows, and what to do with the rows left."""

from sizing.replan.again import Replan, Verdict, replan
from sizing.replan.course import Course, course_of, dimensions, go_on
from sizing.replan.hand import GaugeInHand, InHand, Plausible, gauge_in_hand

__all__ = [
    "Course",
    "GaugeInHand",
    "InHand",
    "Plausible",
    "Replan",
    "Verdict",
    "course_of",
    "dimensions",
    "gauge_in_hand",
    "go_on",
    "replan",
]
