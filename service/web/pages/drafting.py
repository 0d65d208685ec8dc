"""What is typed of an order, kept as it is typed, and shown as it takes shape."""

from collections.abc import Mapping
from datetime import date
from typing import Annotated, Final

from fastapi import Query
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from sqlmodel import Session

from service.db import Database
from service.drafts import draft, drafts, drop_draft, keep_draft, named
from service.errors import StaleError
from service.models import OrderDraft
from service.orders import Clock
from service.web.dependencies import ClockOf, DatabaseOf, IdOf
from service.web.pages import orderform, wishform, yarnform
from service.web.pages.desk import desk_for
from service.web.pages.render import page
from service.web.pages.shaping import shape_of
from service.web.pages.typed import Typed, Values, last
from service.web.parts import page_part

router = page_part()
SEE_OTHER: Final = 303
CHANGED: Final = 412
NAMES: Final = (*orderform.FIELDS, orderform.CHOICE, "shelve", "enquiry", "first")
"""The fields that a draft keeps."""
_TELLING: Final = ("dog.name", "dog.breed", "dog.weight", "measurements.", "buyer.", "notes")
"""What nobody types but for an order; the rest stands in every new form."""


def texts_of(values: Values) -> Values:
    """Return what a draft keeps of a form."""
    return {name: values[name] for name in NAMES if name in values}


def worth_keeping(values: Values) -> bool:
    """Return whether anything is typed that would be missed."""
    return any(any(texts) and name.startswith(_TELLING) for name, texts in values.items())


def draft_version(values: Mapping[str, tuple[str, ...]]) -> int:
    """Return the version of the draft that a form has seen; 0 before any."""
    text = last(dict(values), "draft")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 0  # noqa: PLR2004


def opened(session: Session, draft_id: int) -> Values:
    """Return the fields of a draft, with its key and version."""
    row = draft(session, draft_id)
    typed = {name: tuple(texts) for name, texts in row.typed.items()}
    return typed | {"key": (row.key,), "draft": (str(row.version),)}


def listed(session: Session) -> tuple[tuple[int, str, date], ...]:
    """Return what is kept for later: its number, whom it is for, and its day."""
    return tuple((one.id or 0, named(one), one.at.date()) for one in drafts(session))


def forget(session: Session, values: Values) -> None:
    """Throw the draft of a form away, unless more than the form holds was typed elsewhere."""
    key, seen, own = last(values, "key"), draft_version(values), texts_of(values)
    for row in drafts(session):
        same = {n: list(t) for n, t in own.items() if any(t)} == row.typed
        if row.key == key and (row.version == seen or same):
            drop_draft(session, key)


def keep(database: Database, clock: Clock, values: Values, key: str) -> OrderDraft | None:
    """Keep what a form holds.

    Raises:
        StaleError: if more was typed elsewhere meanwhile.
    """
    return database.write(
        lambda session: keep_draft(session, key, texts_of(values), draft_version(values), clock())
    )


@router.post("/orders/shape")
def show_shape(
    typed: Typed,
    database: DatabaseOf,
    clock: ClockOf,
    number: Annotated[str, Query(max_length=20)] = "",
) -> HTMLResponse:
    """Keep what is typed of a new order, and show what it makes so far."""
    values = wishform.packed(yarnform.packed(typed))
    with database.reading() as session:
        desk = desk_for(session, clock, number)
        shape = shape_of(session, values, desk)
    kept, status, elsewhere, key = None, 200, None, last(values, "key")
    if not number and key and worth_keeping(values):
        try:
            kept = keep(database, clock, values, key[:100])
        except StaleError:
            status, elsewhere = CHANGED, _other(database, key)
    answer = page("parts/shape.html", status, shape=shape, elsewhere=elsewhere)
    if kept:
        answer.headers["Draft-Version"] = str(kept.version)
    return answer


def _other(database: Database, key: str) -> int | None:
    """Return the number of the draft that was typed on elsewhere."""
    with database.reading() as session:
        return next((one.id for one in drafts(session) if one.key == key), None)


@router.post("/drafts/{draft_id}/throw-away")
def throw_away(draft_id: IdOf, database: DatabaseOf, _typed: Typed) -> Response:
    """Throw a draft away for good."""
    with database.writing() as session:
        drop_draft(session, draft(session, draft_id).key)
    return RedirectResponse("/", SEE_OTHER)
