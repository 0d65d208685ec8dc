"""Deliveries and the words of mails on the wire."""

from datetime import datetime
from typing import Annotated, Literal

from pydantic import Field, StringConstraints
from sqlmodel import Session

from documents.language import ENGLISH
from service.bodies import Body, Email, Line
from service.given import DeliveryState, care_delivery
from service.models import Delivery, PaperCopy
from service.orders import found
from service.planbodies import Out
from service.sending.confirming import confirmed_at
from service.sending.drafts import Draft, Enclosed
from service.sending.rows import deliveries, name_of, papers_of
from service.sending.templates import NAMES, Kept
from service.sending.words import Source
from service.settings import MailSettings

# Longer than a template may be: what is too long is refused with its line.
Words = Annotated[str, StringConstraints(max_length=200_000)]
CareSheet = Literal["sent", "handed over", "not yet"]


class DeliveryIn(Body):
    """A mail to send: to the buyer's own address, unless another is given."""

    kind: Line = Field(examples=["care"])
    language: Line = ENGLISH
    to: Email = ""


class TemplateIn(Body):
    """The words of a mail, with `{{ names }}` to be filled in."""

    subject: Words
    text: Words
    html: Words

    def source(self) -> Source:
        """Return them as templates, with one kind of line end."""
        parts = (self.subject, self.text, self.html)
        return Source(*(part.replace("\r\n", "\n").replace("\r", "\n") for part in parts))


class PaperOut(Out):
    """A paper that went to a buyer; the bytes are kept under its id."""

    id: int | None
    kind: str
    name: str
    sha256: str
    bytes: int
    order_version: int | None = None
    made_at: datetime | None = None


class DeliveryOut(Out):
    """A delivery: where it goes, how far it is, and what it carries."""

    id: int
    kind: str
    name: str
    language: str
    state: DeliveryState
    how: str
    reason: str
    to: str
    subject: str
    message_id: str | None
    attempts: int
    next_at: datetime | None
    created_at: datetime
    done_at: datetime | None
    papers: list[PaperOut]


class DeliveryList(Out):
    """The deliveries of an order, the latest first, and how it stands with the care sheet."""

    care_sheet: CareSheet
    confirmed_at: datetime | None
    deliveries: list[DeliveryOut]


class DraftOut(Out):
    """A mail as it would be sent."""

    sender: str
    to: str
    subject: str
    text: str
    html: str
    papers: list[PaperOut]


class WordsOut(Out):
    """Words filled in with invented values."""

    subject: str
    text: str
    html: str


class TemplateOut(Out):
    """The words of a mail; `names` tells what they may name."""

    kind: str
    language: str
    own: bool
    version: int
    subject: str
    text: str
    html: str
    names: dict[str, str]


class MailOut(Out):
    """How mail leaves: through a server, or as files into a folder."""

    host: str | None
    security: str | None
    folder: str | None
    sender: str
    confirms_at: str


class ConfirmedOut(Out):
    """What the buyer has confirmed, and when."""

    dog: str
    confirmed_at: datetime


def _kept(paper: PaperCopy) -> PaperOut:
    return PaperOut(
        id=paper.id,
        kind=paper.kind,
        name=paper.name,
        sha256=paper.sha256,
        bytes=len(paper.content),
        order_version=paper.order_version,
        made_at=paper.made_at,
    )


def _enclosed(paper: Enclosed) -> PaperOut:
    return PaperOut(
        id=None,
        kind=paper.kind,
        name=paper.name,
        sha256=paper.sha256,
        bytes=len(paper.content),
    )


def delivery_out(session: Session, row: Delivery) -> DeliveryOut:
    """Return a delivery for the wire."""
    return DeliveryOut(
        id=row.id or 0,
        kind=row.kind,
        name=name_of(row),
        language=row.language,
        state=DeliveryState(row.state),
        how=row.how,
        reason=row.reason,
        to=row.to_address,
        subject=row.subject,
        message_id=row.message_id,
        attempts=row.attempts,
        next_at=row.next_at if row.state == DeliveryState.WAITING else None,
        created_at=row.created_at,
        done_at=row.done_at,
        papers=[_kept(paper) for paper in papers_of(session, row)],
    )


def care_sheet_of(session: Session, order_id: int | None) -> CareSheet:
    """Return how it stands with an order's care sheet."""
    given = care_delivery(session, order_id)
    if given is None:
        return "not yet"
    return "handed over" if given.state == DeliveryState.HANDED_OVER else "sent"


def delivery_list(session: Session, number: str) -> DeliveryList:
    """Return all deliveries of an order.

    Raises:
        NotFoundError: if there is no such order.
    """
    order_id = found(session, number).order.id
    return DeliveryList(
        care_sheet=care_sheet_of(session, order_id),
        confirmed_at=confirmed_at(session, order_id),
        deliveries=[delivery_out(session, row) for row in deliveries(session, order_id)],
    )


def draft_out(draft: Draft) -> DraftOut:
    """Return a draft for the wire."""
    return DraftOut(
        sender=draft.sender,
        to=draft.to_address,
        subject=draft.words.subject,
        text=draft.words.text,
        html=draft.words.html,
        papers=[_enclosed(paper) for paper in draft.papers],
    )


def template_out(kind: str, code: str, kept: Kept) -> TemplateOut:
    """Return the words of a mail for the wire."""
    return TemplateOut(
        kind=kind,
        language=code,
        own=kept.version > 0,
        version=kept.version,
        names=NAMES,
        **kept.source._asdict(),
    )


def mail_out(mail: MailSettings, shop_email: str) -> MailOut:
    """Return how mail leaves; the password is nobody's business."""
    return MailOut(
        host=mail.host or None,
        security=mail.security.value if mail.host else None,
        folder=None if mail.host else str(mail.folder),
        sender=mail.sender or shop_email,
        confirms_at=mail.address,
    )
