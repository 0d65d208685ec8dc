"""Asking procrastinate's workers to send a delivery, as part of its transaction."""

from datetime import datetime
from typing import Final

from procrastinate import App, PsycopgConnector
from psycopg import Connection as Driver
from sqlalchemy import Connection
from sqlmodel import Session

TASK: Final = "hoodwright.deliver"
QUEUE: Final = "deliveries"


def driver(connection: Connection) -> Driver[tuple[object, ...]]:
    """Return the driver's own connection below one of SQLAlchemy's."""
    raw = connection.connection.driver_connection
    if not isinstance(raw, Driver):
        raise TypeError("procrastinate needs a connection of psycopg")
    return raw


_ASKING: Final = App(connector=PsycopgConnector())
"""Never opened: it asks over the connection of the transaction at hand."""


def ask_for(session: Session, delivery_id: int, at: datetime) -> None:
    """Ask the workers to send a delivery at a moment, as part of the transaction."""
    job = _ASKING.configure_task(
        TASK,
        allow_unknown=True,
        queue=QUEUE,
        schedule_at=at,
        connection=driver(session.connection()),
    )
    job.defer(delivery=delivery_id)
