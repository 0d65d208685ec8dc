"""The maker's side of enquiries: the list of those not looked at, and each as it was typed."""

from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import Path
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from sqlmodel import Session

from documents.language import language
from service.experience import prior_of
from service.models import Enquiry, Order
from service.owner.enquiries import discard, dog_told, enquiry, looked, numbers_told, unseen
from service.owner.words import said_of
from service.web.dependencies import HIGHEST_ID, ClockOf, DatabaseOf
from service.web.pages.render import page
from service.web.pages.typed import Typed
from service.web.pages.words import MEASURES
from service.web.parts import page_part

router = page_part("/enquiries")
SEE_OTHER: Final = 303
Id = Annotated[int, Path(ge=1, le=HIGHEST_ID)]
_LABELS: Final = (
    ("name", "Name"),
    ("email", "E-mail"),
    ("dog", "Dog"),
    ("breed", "Breed"),
    ("weight", "Weight"),
    *((f"{name}.1", label) for name, label, _ in MEASURES),
    ("unit", "Numbers are in"),
    ("wish", "Wishes"),
)


@dataclass(frozen=True, slots=True)
class Line:
    """An enquiry in the list; `number` is its order's, where it has one."""

    row: Enquiry
    number: str


def lines_as_typed(row: Enquiry) -> tuple[tuple[str, str], ...]:
    """Return what a stranger typed, field by field, the empty ones left out."""
    return tuple((label, row.told[name]) for name, label in _LABELS if row.told.get(name))


def _number(session: Session, row: Enquiry) -> str:
    order = session.get(Order, row.order_id) if row.order_id else None
    return order.number if order else ""


@router.get("")
def enquiries_page(database: DatabaseOf) -> HTMLResponse:
    """Show the enquiries of strangers that nobody has looked at."""
    with database.reading() as session:
        lines = [Line(row, _number(session, row)) for row in unseen(session)]
    return page("enquiries.html", lines=lines)


def _question(session: Session, row: Enquiry) -> str:
    """Return a message that asks back what cannot be read or is missing."""
    told = row.told
    said = said_of(
        numbers_told(told),
        dog_told(told),
        prior_of(session),
        language(),
        missing=True,
        twice=False,
    )
    labels = {name: label for name, label, _ in MEASURES} | {"weight": "Weight"}
    asked = [
        f"{labels[name]}{f' (you wrote “{text}”)' if text else ''}: {found[0].text}"
        for name, found in said.items()
        if name in labels
        for text in (told.get(f"{name}.1") or told.get(name) or "",)
    ]
    hello = f"Hello {told['name']}, thank you for asking."
    return "\n".join([hello, "Before I can begin:", *asked]) if asked else hello


@router.get("/{enquiry_id}")
def enquiry_page(enquiry_id: Id, database: DatabaseOf) -> HTMLResponse:
    """Show an enquiry as it was typed."""
    with database.reading() as session:
        row = enquiry(session, enquiry_id)
        number, question = _number(session, row), _question(session, row)
    return page(
        "enquiry_kept.html", row=row, number=number, lines=lines_as_typed(row), question=question
    )


@router.post("/{enquiry_id}/looked")
def look_at(enquiry_id: Id, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Note that the maker has looked at it."""
    del typed  # read for where it comes from
    with database.writing() as session:
        number = _number(session, looked(session, enquiry_id, clock()))
    return RedirectResponse(f"/orders/{number}" if number else "/enquiries", SEE_OTHER)


@router.post("/{enquiry_id}/delete")
def delete(enquiry_id: Id, typed: Typed, database: DatabaseOf) -> Response:
    """Delete it, and the order it made."""
    del typed  # read for where it comes from
    with database.writing() as session:
        discard(session, enquiry_id)
    return RedirectResponse("/enquiries", SEE_OTHER)
