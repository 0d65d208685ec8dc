"""What is typed of orders that are not taken yet, on the wire."""

from datetime import datetime
from secrets import token_urlsafe
from typing import Annotated

from fastapi import Body as Sent
from fastapi import Response
from pydantic import Field, StringConstraints
from sqlmodel import Session

from service.drafts import (
    begin_draft,
    change_draft,
    draft,
    drafts,
    named,
    throw_away,
)
from service.fields import Body, Note
from service.models import OrderDraft
from service.planbodies import Out
from service.web.api.examples import DRAFTS
from service.web.dependencies import ClockOf, DatabaseOf, IdOf, IfMatch, etag, once
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("orders", "/drafts")
FieldName = Annotated[str, StringConstraints(pattern=r"^[a-z0-9_.-]{1,100}$")]
Key = Annotated[
    str | None,
    once("the same key and fields twice are one draft; take the order by the same key", 100),
]


class DraftIn(Body):
    """What is typed so far, by the names that a form's fields have: `dog.name`, `buyer.email`.

    Nothing of it needs to be right, or complete.
    """

    fields: dict[FieldName, Annotated[list[Note], Field(max_length=100)]] = Field(max_length=500)


class DraftLine(Out):
    """A draft in the list; `whom` is the dog, or else the buyer, or nothing."""

    id: int
    version: int
    at: datetime
    whom: str


class DraftOut(DraftLine):
    """A draft, whole; `key` is the Idempotency-Key by which its order is taken once."""

    key: str
    fields: dict[str, list[str]]


Drafted = Annotated[DraftIn, Sent(openapi_examples=DRAFTS)]


def _line(row: OrderDraft) -> DraftLine:
    return DraftLine(id=row.id or 0, version=row.version, at=row.at, whom=named(row))


def _whole(row: OrderDraft, response: Response) -> DraftOut:
    """Return a draft whole, its version in the answer's ETag."""
    response.headers["ETag"] = etag(row.version)
    return DraftOut(**_line(row).model_dump(), key=row.key, fields=row.typed)


@router.get("")
def list_drafts(database: DatabaseOf) -> list[DraftLine]:
    """List what is kept for later, what was typed on last first."""
    with database.reading() as session:
        return [_line(row) for row in drafts(session)]


@router.post("", status_code=201, responses=documented(409, 422))
def keep_a_draft(
    typed: Drafted,
    database: DatabaseOf,
    clock: ClockOf,
    response: Response,
    idempotency_key: Key = None,
) -> DraftOut:
    """Keep what is typed of an order for later, for sixty days at most."""
    key = idempotency_key or token_urlsafe(16)

    def work(session: Session) -> DraftOut:
        return _whole(begin_draft(session, key, typed.fields, clock()), response)

    kept = database.write(work)
    response.headers["Location"] = f"/api/v1/drafts/{kept.id}"
    return kept


@router.get("/{draft_id}", responses=documented(404, 422))
def show_draft(draft_id: IdOf, database: DatabaseOf, response: Response) -> DraftOut:
    """Show a draft whole."""
    with database.reading() as session:
        return _whole(draft(session, draft_id), response)


@router.put("/{draft_id}", responses=documented(404, 409, 412, 422, 428))
def change_a_draft(
    draft_id: IdOf,
    typed: Drafted,
    database: DatabaseOf,
    clock: ClockOf,
    version: IfMatch,
    response: Response,
) -> DraftOut:
    """Keep what is typed by now in the place of what was."""
    with database.writing() as session:
        return _whole(change_draft(session, draft_id, typed.fields, version, clock()), response)


@router.delete("/{draft_id}", status_code=204, responses=documented(404, 412, 422, 428))
def throw_a_draft_away(draft_id: IdOf, database: DatabaseOf, version: IfMatch) -> None:
    """Throw a draft away for good."""
    with database.writing() as session:
        throw_away(session, draft_id, version)
