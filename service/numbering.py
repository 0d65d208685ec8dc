"""Order numbers: a sequence for each year, without a gap or a double."""

from contextlib import suppress

from sqlalchemy import update
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, col

from service.models import Counter


def next_number(session: Session, year: int) -> str:
    """Return the next order number of a year; the counter's row is locked by its update."""
    name = f"orders {year}"
    bump = update(Counter).where(col(Counter.name) == name).values(value=Counter.value + 1)
    bump = bump.returning(col(Counter.value))
    value = session.execute(bump).scalar_one_or_none()
    if value is None:
        with suppress(IntegrityError), session.begin_nested():
            session.add(Counter(name=name, value=0))
        value = session.execute(bump).scalar_one()
    return f"{year}-{value:04d}"
