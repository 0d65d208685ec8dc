"""Enquiries of strangers on the wire: listed, looked at, deleted; and one written down."""

from datetime import datetime
from secrets import token_urlsafe
from typing import Annotated

from fastapi import Body as Sent
from fastapi import Response
from sqlmodel import Session

from documents.language import ENGLISH
from service.errors import UnreadableError
from service.fields import Body, Email, LanguageCode, Line, Name, Note
from service.models import Enquiry, Order
from service.owner.enquiries import discard, enquiry, keep, lacking, looked, typed, unseen
from service.planbodies import Out
from service.web.api.examples import ENQUIRIES
from service.web.dependencies import ClockOf, DatabaseOf, IdOf, once
from service.web.parts import api_part
from service.web.problems import documented
from sizing.units import LengthUnit

router = api_part("enquiries", "/enquiries")
Key = Annotated[str | None, once("the same key twice is one enquiry", 100)]
ADDRESS = "Write the address at which the answer is read, such as tilda@example.org."


class EnquiryIn(Body):
    """What somebody asks for, as they wrote it: only name and e-mail must be right."""

    name: Name
    email: Email
    dog: Line = ""
    breed: Line = ""
    weight: Line = ""
    neck_length: Line = ""
    neck_girth: Line = ""
    nape_length: Line = ""
    face_girth: Line = ""
    unit: LengthUnit = LengthUnit.CM
    wish: Note = ""
    language: LanguageCode = ENGLISH


class EnquiryOut(Out):
    """An enquiry as it was typed; `number` is its order's, where its lengths could be read."""

    id: int
    at: datetime
    looked_at: datetime | None
    number: str | None
    told: dict[str, str]


def _out(session: Session, row: Enquiry) -> EnquiryOut:
    order = session.get(Order, row.order_id) if row.order_id else None
    return EnquiryOut(
        id=row.id or 0,
        at=row.at,
        looked_at=row.looked_at,
        number=order.number if order else None,
        told=row.told,
    )


def _told(asked: EnquiryIn) -> dict[str, str]:
    """Return an enquiry by the names of the form that strangers fill in.

    Raises:
        UnreadableError: if nobody could be answered at the address.
    """
    texts = asked.model_dump(mode="json")
    told = typed({f"{n}.1" if "_" in n else n: text for n, text in texts.items()})
    if lacking(told):
        raise UnreadableError(ADDRESS, {"email": ADDRESS})
    return told


@router.get("")
def list_enquiries(database: DatabaseOf) -> list[EnquiryOut]:
    """List the enquiries that nobody has looked at, the newest first."""
    with database.reading() as session:
        return [_out(session, row) for row in unseen(session)]


@router.post("", status_code=201, responses=documented(422))
def write_an_enquiry_down(
    asked: Annotated[EnquiryIn, Sent(openapi_examples=ENQUIRIES)],
    database: DatabaseOf,
    clock: ClockOf,
    response: Response,
    idempotency_key: Key = None,
) -> EnquiryOut:
    """Keep what somebody asks for, with the order that it makes; as from the shop's own form."""
    told, key = _told(asked), idempotency_key or token_urlsafe(16)
    kept = database.write(lambda session: _out(session, keep(session, told, key, clock())))
    response.headers["Location"] = f"/api/v1/enquiries/{kept.id}"
    return kept


@router.get("/{enquiry_id}", responses=documented(404, 422))
def show_enquiry(enquiry_id: IdOf, database: DatabaseOf) -> EnquiryOut:
    """Show an enquiry as it was typed."""
    with database.reading() as session:
        return _out(session, enquiry(session, enquiry_id))


@router.post("/{enquiry_id}/looked", responses=documented(404, 422))
def look_at_an_enquiry(enquiry_id: IdOf, database: DatabaseOf, clock: ClockOf) -> EnquiryOut:
    """Note that it was looked at, so that it no longer waits; a second time changes nothing."""
    with database.writing() as session:
        return _out(session, looked(session, enquiry_id, clock()))


@router.delete("/{enquiry_id}", status_code=204, responses=documented(404, 409, 422))
def delete_an_enquiry(enquiry_id: IdOf, database: DatabaseOf) -> None:
    """Delete an enquiry and the order it made, as whoever sent it may ask for."""
    with database.writing() as session:
        discard(session, enquiry_id)
