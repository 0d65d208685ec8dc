"""One's own account: a new password, and an end to all sign-ins."""

from typing import Final

from fastapi import Request
from fastapi.responses import HTMLResponse, JSONResponse, Response

from service.doors import sessions
from service.doors.accounts import account_of, set_password
from service.doors.passwords import strength
from service.errors import NotSignedInError, TooManyError, UnreadableError
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages.render import page
from service.web.pages.signin import SentForm, entrance_of, let_in
from service.web.parts import page_part
from service.web.visitor import Visitor, visitor

router = page_part("/account")
GOOD: Final = "Hard to guess."
NOT_IT: Final = "That is not your password of now."


def here() -> Visitor:
    """Return who asks.

    Raises:
        NotSignedInError: if nobody has signed in.
    """
    found = visitor()
    if found is None:
        raise NotSignedInError("Sign in first.")
    return found


def _show(
    database: DatabaseOf, clock: ClockOf, status: int = 200, wrong: dict[str, str] | None = None
) -> HTMLResponse:
    with database.reading() as session:
        account = account_of(session, here().account_id)
        browsers = sessions.count(session, here().account_id, clock())
    return page(
        "account.html",
        status,
        account=account,
        browsers=browsers,
        wrong=wrong or {},
    )


@router.get("")
def account_page(database: DatabaseOf, clock: ClockOf) -> HTMLResponse:
    """Show one's own account."""
    return _show(database, clock)


@router.post("/strength")
def judge_password(sent: SentForm) -> JSONResponse:
    """Say how strong a password is while it is typed; nothing is kept."""
    found = strength(sent.get("password", ""), here().name)
    return JSONResponse({"score": found.score, "said": found.said or GOOD})


@router.post("/password")
def change_password(
    request: Request, sent: SentForm, database: DatabaseOf, clock: ClockOf
) -> Response:
    """Take a new password, if the one of now is told with it; all other sign-ins end."""
    entrance, now = entrance_of(request), clock()
    with database.reading() as session:
        account = account_of(session, here().account_id)
    wait = entrance.tries.names.wait(account.key, now)
    if wait:
        raise TooManyError(int(wait) + 1)
    if account.password:  # the demo shop's has none yet
        entrance.tries.names.begin(account.key, now)
        if not entrance.hasher.fits(account.password, sent.get("now", "")):
            return _show(database, clock, 422, {"now": NOT_IT})
        entrance.tries.names.forgive(account.key)
    try:
        with database.writing() as session:
            account = account_of(session, here().account_id)
            set_password(session, account, sent.get("password", ""), entrance.hasher)
            secret = sessions.sign_in(session, account, now)
    except UnreadableError as error:
        return _show(database, clock, 422, error.fields)
    return let_in(request, secret, "/account")
