"""Papers to the buyer: mails, papers handed over, and what became of them."""

from typing import Annotated, Final, Literal

from fastapi import Body, Path, Query, Response
from sqlmodel import Session

from documents.language import ENGLISH
from service.errors import NotFoundError
from service.given import DeliveryState
from service.sending.confirming import confirm
from service.sending.drafts import drafted
from service.sending.outbox import Sending, by_hand, hand_over, send, send_again
from service.sending.rows import delivery_of, papers_of
from service.sending.wire import (
    ConfirmedOut,
    DeliveryIn,
    DeliveryList,
    DeliveryOut,
    DraftOut,
    delivery_list,
    delivery_out,
    draft_out,
)
from service.web.api.examples import DELIVERIES
from service.web.api.papers import AS_PDF
from service.web.dependencies import HIGHEST_ID, ClockOf, DatabaseOf, MailOf, once
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("deliveries")
ORDER: Final = "/orders/{number}/deliveries"
Id = Annotated[int, Path(ge=1, le=HIGHEST_ID)]
Kind = Annotated[str, Query(max_length=40, examples=["care"])]
Code = Annotated[str, Query(max_length=20, description="a language, such as `en`")]
SECRET: Final = {"X-Robots-Tag": "noindex, nofollow", "Referrer-Policy": "no-referrer"}
OneTimeKey = Annotated[
    str | None, once("the same key and mail twice is one mail", alias="Idempotency-Key")
]


@router.get(ORDER, responses=documented(404, 422))
def list_deliveries(number: str, database: DatabaseOf) -> DeliveryList:
    """List what was sent or handed over, the latest first, and how the care sheet stands."""
    with database.reading() as session:
        return delivery_list(session, number)


@router.get(ORDER + "/draft", responses=documented(404, 409, 422))
def show_draft(
    number: str,
    database: DatabaseOf,
    mail: MailOf,
    kind: Kind,
    language: Code = ENGLISH,
    to: Annotated[str, Query(max_length=254)] = "",
) -> DraftOut:
    """Show a mail as it would be sent now."""
    with database.reading() as session:
        return draft_out(drafted(session, number, kind, mail, language, to))


@router.post(ORDER, status_code=201, responses=documented(404, 409, 422))
def send_a_mail(
    number: str,
    asked: Annotated[DeliveryIn, Body(openapi_examples=DELIVERIES)],
    database: DatabaseOf,
    clock: ClockOf,
    mail: MailOf,
    response: Response,
    key: OneTimeKey = None,
) -> DeliveryOut:
    """Put a mail into the outbox. It is sent after; look at the deliveries for what becomes."""
    sending = Sending(asked.kind, asked.language, asked.to, key)

    def work(session: Session) -> DeliveryOut:
        return delivery_out(session, send(session, number, sending, mail, clock()))

    made = database.write(work)
    response.headers["Location"] = f"/api/v1/orders/{number}/deliveries"
    return made


@router.post(ORDER + "/paper", status_code=201, responses=documented(404, 409, 422))
def hand_a_paper_over(
    number: str,
    database: DatabaseOf,
    clock: ClockOf,
    kind: Kind = "care",
    language: Code = ENGLISH,
) -> DeliveryOut:
    """Write down that a paper, as it is now, was handed over or lies in the parcel."""
    with database.writing() as session:
        return delivery_out(session, hand_over(session, number, kind, language, clock()))


@router.post(ORDER + "/{delivery}/again", responses=documented(404, 409, 422))
def send_once_more(
    number: str, delivery: Id, database: DatabaseOf, clock: ClockOf, mail: MailOf
) -> DeliveryOut:
    """Send a mail once more: one given up goes on, of one that was sent a new one is made."""
    with database.writing() as session:
        return delivery_out(session, send_again(session, number, delivery, mail, clock()))


@router.post(ORDER + "/{delivery}/by-hand", responses=documented(404, 409, 422))
def write_down_by_hand(
    number: str,
    delivery: Id,
    database: DatabaseOf,
    clock: ClockOf,
    state: Literal["sent", "handed over"] = "handed over",
) -> DeliveryOut:
    """Write down that the maker has sent a mail, or handed its papers over, by hand."""
    with database.writing() as session:
        row = by_hand(session, number, delivery, DeliveryState(state), clock())
        return delivery_out(session, row)


@router.get(
    ORDER + "/{delivery}/papers/{paper}",
    response_class=Response,
    responses={**documented(404, 422), **AS_PDF},
)
def show_kept_paper(number: str, delivery: Id, paper: Id, database: DatabaseOf) -> Response:
    """Show a paper exactly as it went to the buyer."""
    with database.reading() as session:
        row = delivery_of(session, number, delivery)
        kept = next((one for one in papers_of(session, row) if one.id == paper), None)
    if kept is None:
        raise NotFoundError("That delivery carries no such paper.")
    headers = {
        "Content-Disposition": f'inline; filename="{kept.name}"',
        "X-Content-Type-Options": "nosniff",
    }
    return Response(kept.content, media_type=kept.media, headers=headers)


@router.post("/confirmations/{secret}", responses=documented(404, 422))
def confirm_cautions(
    secret: str, database: DatabaseOf, clock: ClockOf, response: Response
) -> ConfirmedOut:
    """Confirm, with the secret of a mail's link, that its cautions were read."""
    response.headers.update(SECRET)
    with database.writing() as session:
        now = clock()
        asked = confirm(session, secret, now)
        dog = asked.order.asked["dog"]["name"]
        return ConfirmedOut(dog=dog, confirmed_at=asked.confirmed_at or now)
