"""What was told of finished hoods, as far as the next ones learn from it."""

import json
from typing import Any, Final, NamedTuple

from sqlalchemy import Text, cast, select
from sqlmodel import Session

from service.models import Outcome, columns_of

MOST: Final = 200
"""Hoods that are looked back on; older ones tell of a younger hand."""


class Told(NamedTuple):
    """As much of an outcome as is learned from."""

    order_id: int
    dog_id: int
    yarn: str
    told: dict[str, Any]
    said: dict[str, Any]


Row = tuple[int, int, str, str, str]
"""The same as it is written."""

_OUTCOME = columns_of(Outcome)
# Built once, and without the ORM: every order asks it. What was told comes as it is written, for
# mostly it is only looked at whether that has changed.
_RECENT: Final = (
    select(
        _OUTCOME.order_id, _OUTCOME.dog_id, _OUTCOME.yarn,
        cast(_OUTCOME.told, Text), cast(_OUTCOME.said, Text),
    )
    .order_by(_OUTCOME.id.desc())
    .limit(MOST)
)  # fmt: skip


def rows_of(session: Session) -> list[Row]:
    """Return the latest outcomes as they are written."""
    return [tuple(row) for row in session.execute(_RECENT)]


def read(rows: list[Row]) -> list[Told]:
    """Return outcomes read."""
    return [
        Told(order, dog, yarn, json.loads(told), json.loads(said))
        for order, dog, yarn, told, said in rows
    ]


def recent(session: Session) -> list[Told]:
    """Return the latest outcomes."""
    return read(rows_of(session))
