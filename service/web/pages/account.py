"""One's own account: a new password, an end to all sign-ins, and what was changed of it."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from fastapi import Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from sqlmodel import Session

from service.db import Database
from service.doors import changes, keys, recovery, sessions
from service.doors.accounts import account_of, set_password
from service.doors.secondstep import on_since
from service.doorwords import Change, said
from service.errors import NotSignedInError, TooManyError, UnreadableError
from service.links import digest
from service.models import DoorEvent
from service.web.dependencies import HIGHEST_ID, ClockOf, DatabaseOf
from service.web.known import sign_in_of
from service.web.pages.coming import SentForm, entrance_of, inside, judgement, let_in
from service.web.pages.render import page
from service.web.parts import page_part
from service.web.visitor import Visitor, visitor

router = page_part("/account")
NOT_IT: Final = "That is not your password of now."
NOT_KNOWN: Final = "Load the page anew, and say once more what you know of."
SEE_OTHER: Final = 303


def here() -> Visitor:
    """Return who asks.

    Raises:
        NotSignedInError: if nobody has signed in.
    """
    found = visitor()
    if found is None:
        raise NotSignedInError("Sign in first.")
    return found


@dataclass(frozen=True, slots=True)
class News:
    """A change of how somebody comes in, as a page tells it."""

    id: int
    at: datetime
    text: str


def _news(found: list[DoorEvent], whose: str) -> list[News]:
    return [News(one.id or 0, one.at, said(one, whose)) for one in found]


def untold(session: Session, request: Request) -> list[News]:
    """Return the changes that whoever asks is to be told of; seldom any."""
    if not here().untold:
        return []
    return _news(changes.untold(session, here().account_id, sign_in_of(request)), here().name)


def show(
    request: Request,
    database: Database,
    now: datetime,
    status: int = 200,
    wrong: dict[str, str] | None = None,
) -> HTMLResponse:
    """Show one's own account."""
    whose = here().account_id
    with database.reading() as session:
        account = account_of(session, whose)
        browsers = sessions.count(session, whose, now)
        held = len(keys.keys(session, whose))
        news = untold(session, request)
        since, left = on_since(session, whose), recovery.left(session, whose)
        done = _news(changes.latest(session, whose), account.name)
    return page(
        "account.html",
        status,
        account=account,
        browsers=browsers,
        held=held,
        since=since,
        left=left,
        wrong=wrong or {},
        news=news,
        done=done,
    )


@router.get("")
def account_page(request: Request, database: DatabaseOf, clock: ClockOf) -> HTMLResponse:
    """Show one's own account."""
    return show(request, database, clock())


@router.post("/known")
def know(request: Request, sent: SentForm, database: DatabaseOf, clock: ClockOf) -> Response:
    """Write down that somebody knows of the changes that they were told of."""
    until = sent.get("until", "")
    if not (until.isascii() and until.isdigit()) or int(until) > HIGHEST_ID:
        raise UnreadableError(NOT_KNOWN, {"until": NOT_KNOWN})
    with database.writing() as session:
        changes.known(session, here().account_id, sign_in_of(request), int(until), clock())
    return RedirectResponse(inside(sent.get("back", "/")), SEE_OTHER)


@router.post("/strength")
def judge_password(sent: SentForm) -> JSONResponse:
    """Say how strong a password is while it is typed; nothing is kept."""
    return judgement(sent.get("password", ""), here().name)


def is_theirs(request: Request, database: Database, typed: str, now: datetime) -> bool:
    """Return whether somebody who is signed in knows their password; the demo shop's has none yet.

    Raises:
        TooManyError: if it was tried often.
    """
    entrance = entrance_of(request)
    with database.reading() as session:
        account = account_of(session, here().account_id)
    wait = entrance.tries.names.wait(account.key, now)
    if wait:
        raise TooManyError(int(wait) + 1)
    if account.password:
        entrance.tries.names.begin(account.key, now)
        if not entrance.hasher.fits(account.password, typed):
            return False
        entrance.tries.names.forgive(account.key)
    return True


@router.post("/password")
def change_password(
    request: Request, sent: SentForm, database: DatabaseOf, clock: ClockOf
) -> Response:
    """Take a new password, if the one of now is told with it; all other sign-ins end."""
    entrance, now = entrance_of(request), clock()
    if not is_theirs(request, database, sent.get("password_now", ""), now):
        return show(request, database, now, 422, {"now": NOT_IT})
    try:
        with database.writing() as session:
            account = account_of(session, here().account_id)
            change = Change.PASSWORD if account.password else Change.FIRST
            set_password(session, account, sent.get("password", ""), entrance.hasher)
            secret = sessions.sign_in(session, account, now)
            changes.note(session, account.id, change, now, seen_in=digest(secret))
    except UnreadableError as error:
        return show(request, database, now, 422, error.fields)
    return let_in(request, secret, "/account")
