"""Telling a worker that there is something to send, once the transaction is committed."""

from collections.abc import Callable
from typing import Final

from sqlalchemy import event
from sqlmodel import Session

from service.models import Delivery

RUNG: Final = "deliveries"
"""Stands in a session's notes when it has put something into the outbox."""


def ring(session: Session, delivery: Delivery) -> None:
    """Tell the workers of a delivery that is due, as part of the transaction."""
    session.info[RUNG] = True
    if session.get_bind().dialect.name == "postgresql":
        # Here: it takes a while to load, and only a database server needs it.
        from service.sending.asking import ask_for  # noqa: PLC0415

        session.flush()
        ask_for(session, delivery.id or 0, delivery.next_at)


def on_ring(heard: Callable[[], None]) -> Callable[[], None]:
    """Call a function after each commit that rang; return a function that ends this."""

    def after_commit(session: Session) -> None:
        if session.info.pop(RUNG, False):
            heard()

    event.listen(Session, "after_commit", after_commit)
    return lambda: event.remove(Session, "after_commit", after_commit)
