"""Papers to the buyer: what went out, a mail previewed and sent, papers handed over."""

import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Annotated, Final

from fastapi import Path, Query
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from markupsafe import Markup

from documents.figures import moment_text
from documents.language import ENGLISH, languages
from service.errors import NotAllowedError, UnreadableError
from service.given import DeliveryState
from service.orders import found
from service.sending.drafts import drafted, letter_of
from service.sending.kinds import PAPERS, mail_kind, offered
from service.sending.outbox import Sending, by_hand, hand_over, send, send_again
from service.sending.wire import DeliveryOut, delivery_list, draft_out, mail_out
from service.shop import shop_of
from service.web.dependencies import HIGHEST_ID, ClockOf, DatabaseOf, MailOf
from service.web.pages.render import HEADERS, page
from service.web.pages.typed import Typed, last
from service.web.parts import page_part
from service.web.problems import status_of

router = page_part("/orders/{number}")
SEE_OTHER: Final = 303
STUCK: Final = timedelta(minutes=2)
Id = Annotated[int, Path(ge=1, le=HIGHEST_ID)]
Code = Annotated[str, Query(max_length=20)]
To = Annotated[str, Query(max_length=254)]
# The letter is the maker's own HTML: it is shown without script, in a frame of our page alone.
LETTER: Final = HEADERS | {
    "Content-Security-Policy": (
        "default-src 'none'; style-src 'unsafe-inline'; sandbox; base-uri 'none';"
        " form-action 'none'; frame-ancestors 'self'"
    )
}
FRAMING: Final = HEADERS["Content-Security-Policy"] + "; frame-src 'self'"
_LOOK: Final = {
    DeliveryState.FAILED: "stop",
    DeliveryState.WRITTEN: "query",
    DeliveryState.WAITING: "note",
}


@dataclass(frozen=True, slots=True)
class Told:
    """A delivery as the page tells it.

    Attributes:
        look: the weight of what there is to say, or nothing where all is well.
        again, by_hand: whether the maker may do that with it.
    """

    one: DeliveryOut
    said: str
    look: str
    again: bool
    by_hand: bool


def _moment(at: datetime | None) -> str:
    return moment_text(at) if at else ""


def _said(one: DeliveryOut, now: datetime) -> str:
    """Return what became of a delivery, in a sentence or two."""
    if one.state is DeliveryState.WRITTEN:
        return f"Not sent yet: it lies {one.how}. Open it in your mail program and send it."
    if one.state is DeliveryState.FAILED:
        return f"Given up {_moment(one.done_at)}. {one.reason}"
    if one.state is not DeliveryState.WAITING:
        return f"{_moment(one.done_at)}, {one.how}."
    if one.attempts and one.reason:
        times = "once" if one.attempts == 1 else f"{one.attempts} times"
        return f"Tried {times}, again {_moment(one.next_at)}. {one.reason}"
    if now - one.created_at > STUCK:
        return "Nothing has sent it yet. With a database server, is “hoodwright work” running?"
    return "It leaves in a moment. Load the page again to see what became of it."


def _told(one: DeliveryOut, now: datetime) -> Told:
    waiting = one.state is DeliveryState.WAITING
    return Told(
        one=one,
        said=_said(one, now),
        look=_LOOK.get(one.state, ""),
        again=one.message_id is not None and not waiting,
        by_hand=one.state in _LOOK,
    )


@router.get("/papers")
def papers_page(number: str, database: DatabaseOf, clock: ClockOf, mail: MailOf) -> HTMLResponse:
    """Show what went to the buyer, and what can be sent."""
    with database.reading() as session:
        order, (shop, _) = found(session, number), shop_of(session)
        listed = delivery_list(session, number)
    return page(
        "papers.html",
        order=order.order,
        dog=order.order.asked["dog"]["name"] or "Unnamed dog",
        buyer=order.order.asked["buyer"],
        listed=listed,
        told=[_told(one, clock()) for one in listed.deliveries],
        mails=offered(),
        papers=PAPERS,
        mail=mail_out(mail, shop.email),
        paper=shop.paper,
        confirmed=_moment(listed.confirmed_at),
    )


def _preview(
    number: str, kind: str, code: str, to: str, database: DatabaseOf, mail: MailOf, key: str = ""
) -> HTMLResponse:
    wrong, status, draft = "", 200, None
    with database.reading() as session:
        order, (shop, _) = found(session, number), shop_of(session)
        name = mail_kind(kind).name
        try:
            draft = draft_out(drafted(session, number, kind, mail, code, to))
        except (UnreadableError, NotAllowedError) as error:
            wrong, status = str(error), status_of(error)
    answer = page(
        "preview.html",
        status,
        order=order.order,
        dog=order.order.asked["dog"]["name"] or "Unnamed dog",
        kind=kind,
        name=name,
        language=code,
        languages=languages(),
        to=to or order.order.asked["buyer"]["email"],
        wrong=wrong,
        draft=draft,
        mail=mail_out(mail, shop.email),
        key=key or secrets.token_urlsafe(16),
    )
    answer.headers["Content-Security-Policy"] = FRAMING
    return answer


@router.get("/papers/{kind}")
def preview(
    number: str,
    kind: str,
    database: DatabaseOf,
    mail: MailOf,
    language: Code = ENGLISH,
    to: To = "",
) -> HTMLResponse:
    """Show a mail before it is sent."""
    return _preview(number, kind, language, to, database, mail)


@router.get("/papers/{kind}/letter")
def letter(
    number: str, kind: str, database: DatabaseOf, mail: MailOf, language: Code = ENGLISH
) -> HTMLResponse:
    """Show the HTML of a mail, for the frame of its preview."""
    with database.reading() as session:
        words = letter_of(session, number, kind, mail, language)
    # What a screen reader needs; the mail itself has its subject and language elsewhere.
    head = Markup('<!doctype html>\n<html lang="{}">\n<meta charset="utf-8">\n<title>{}</title>')
    return HTMLResponse(f"{head.format(language, words.subject)}\n{words.html}", headers=LETTER)


def _to_papers(number: str) -> Response:
    return RedirectResponse(f"/orders/{number}/papers", SEE_OTHER)


@router.post("/papers/{kind}")
def send_it(
    number: str, kind: str, typed: Typed, database: DatabaseOf, clock: ClockOf, mail: MailOf
) -> Response:
    """Put the mail into the outbox; pressed twice, it is sent once."""
    code, to, key = last(typed, "language") or ENGLISH, last(typed, "to"), last(typed, "key")
    sending = Sending(kind, code, to[:254], key[:60] or None)
    try:
        database.write(lambda session: send(session, number, sending, mail, clock()))
    except (UnreadableError, NotAllowedError):
        return _preview(number, kind, code, to, database, mail, key)
    return _to_papers(number)


@router.post("/handed/{kind}")
def handed(number: str, kind: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Write down that a paper was handed over."""
    code = last(typed, "language") or ENGLISH
    with database.writing() as session:
        hand_over(session, number, kind, code, clock())
    return _to_papers(number)


@router.post("/deliveries/{delivery}/again")
def again(
    number: str, delivery: Id, _typed: Typed, database: DatabaseOf, clock: ClockOf, mail: MailOf
) -> Response:
    """Send a mail once more."""
    with database.writing() as session:
        send_again(session, number, delivery, mail, clock())
    return _to_papers(number)


@router.post("/deliveries/{delivery}/by-hand")
def done_by_hand(
    number: str, delivery: Id, typed: Typed, database: DatabaseOf, clock: ClockOf
) -> Response:
    """Write down that the maker has sent a mail, or handed its papers over, by hand."""
    sent = last(typed, "state") == DeliveryState.SENT
    state = DeliveryState.SENT if sent else DeliveryState.HANDED_OVER
    with database.writing() as session:
        by_hand(session, number, delivery, state, clock())
    return _to_papers(number)
