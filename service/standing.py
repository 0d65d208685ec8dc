"""What stands in the shop's tables, as Prometheus' gauges: counts, and no word about a person.

Every server of a shop tells the same, for they look into one database: take the highest.
"""

from collections.abc import Iterable
from datetime import datetime
from typing import Final

from prometheus_client.core import GaugeMetricFamily
from prometheus_client.registry import Collector
from sqlalchemy import func, text
from sqlmodel import Session, col, select

from service.db import Database
from service.given import DeliveryState
from service.models import Delivery, Order
from service.orders import Clock
from service.sending.rows import due

_JOBS: Final = text("SELECT status::text, count(*) FROM procrastinate_jobs GROUP BY 1")


def _gauge(
    name: str, told: str, label: str, counted: Iterable[tuple[str, int]]
) -> GaugeMetricFamily:
    gauge = GaugeMetricFamily(f"hoodwright_{name}", told, labels=[label])
    for value, number in counted:
        gauge.add_metric([value], number)
    return gauge


def _waits_since(session: Session, waiting: list[int], now: datetime) -> float:
    """Return for how many seconds the longest waiting of the due mails has been due."""
    if not waiting:
        return 0.0
    return max((now - session.get_one(Delivery, waiting[0]).next_at).total_seconds(), 0.0)


class Standing(Collector):
    """Looks into the database whenever it is asked."""

    def __init__(self, database: Database, clock: Clock) -> None:
        """Keep where to look, and the clock by which mails are due."""
        self._database, self._clock = database, clock

    def describe(self) -> list[GaugeMetricFamily]:
        """Return nothing, or the database would be asked as soon as this is registered."""
        return []

    def collect(self) -> Iterable[GaugeMetricFamily]:
        """Yield what stands in the tables now, all read in one transaction."""
        now = self._clock()
        with self._database.reading() as session:
            orders = select(col(Order.state), func.count()).group_by(col(Order.state))
            yield _gauge("orders", "Orders, by state.", "state", session.exec(orders).all())
            mails = select(col(Delivery.state), func.count()).group_by(col(Delivery.state))
            found = dict.fromkeys(DeliveryState, 0) | dict(session.exec(mails).all())
            yield _gauge("deliveries", "Mails and papers, by state.", "state", found.items())
            waiting = due(session, now)
            yield GaugeMetricFamily("hoodwright_mails_due", "Mails to send now.", len(waiting))
            since = _waits_since(session, waiting, now)
            told = "How long the longest waiting of them has been due."
            yield GaugeMetricFamily("hoodwright_mails_due_seconds", told, since)
            if session.get_bind().dialect.name == "postgresql":
                jobs = [(str(status), int(number)) for status, number in session.execute(_JOBS)]
                yield _gauge("jobs", "Jobs in the workers' queue, by status.", "status", jobs)
