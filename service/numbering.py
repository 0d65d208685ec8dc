"""Numbers of orders and of bills: a sequence for each year, without a gap or a double."""

from contextlib import suppress
from typing import Final

from sqlalchemy import bindparam, update
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session

from service.models import Counter, table_of

_COUNTER = table_of(Counter)
# Built once, and without the ORM: every order asks it.
_BUMP: Final = (
    update(_COUNTER)
    .where(_COUNTER.c.name == bindparam("of"))
    .values(value=_COUNTER.c.value + bindparam("more"))
    .returning(_COUNTER.c.value)
)


def _next(session: Session, name: str, count: int = 1) -> int:
    """Return the last of the next numbers of a counter; its row is locked by its update."""
    given = {"of": name, "more": count}
    value = session.execute(_BUMP, given).scalar_one_or_none()
    if value is None:
        with suppress(IntegrityError), session.begin_nested():
            session.add(Counter(name=name, value=0))
        value = session.execute(_BUMP, given).scalar_one()
    return int(value)


def next_number(session: Session, year: int) -> str:
    """Return the next order number of a year."""
    return f"{year}-{_next(session, f'orders {year}'):04d}"


def next_numbers(session: Session, year: int, count: int) -> list[str]:
    """Return the next order numbers of a year; none of them still locks the counter."""
    last = _next(session, f"orders {year}", count)
    return [f"{year}-{number:04d}" for number in range(last - count + 1, last + 1)]


def next_of(session: Session, what: str, letter: str, year: int) -> str:
    """Return the next number of invoices or credit notes of a year: `R 2026-0001`."""
    return f"{letter} {year}-{_next(session, f'{what} {year}'):04d}"
