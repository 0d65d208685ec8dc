"""The second step of signing in: after the password a code from the app, or a recovery code."""

from datetime import datetime
from typing import Final

from fastapi import Request
from fastapi.responses import HTMLResponse, Response
from sqlmodel import Session

from service.doors import changes
from service.doors.accounts import account_of
from service.doors.codes import use_up, waiting_of
from service.doors.secondstep import WRONG, Given, given
from service.doorwords import Change
from service.links import digest
from service.models import Account
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages.carrying import NAME, read_carried
from service.web.pages.coming import (
    HEADERS,
    Sent,
    SentForm,
    back_with,
    door_of,
    entrance_of,
    inside,
    show,
    signed_in,
    slow,
    slowed,
    where_from,
)
from service.web.pages.render import page
from service.web.parts import page_part

router = page_part()
LATE: Final = "That took too long, or the password was changed meanwhile. Sign in once more."


def ask_for_code(
    sent: Sent, step: str, status: int = 200, wrong: str = "", banner: str = ""
) -> HTMLResponse:
    """Return the page that asks for a code, once the password was right.

    Args:
        sent: what came with it: where to go on to, and a form that came too late.
        step: the code by which the sign-in is known that waits.
        status: of the answer.
        wrong: what is said beside the field.
        banner: what is said above it.
    """
    answer = page(
        "sign_in_step.html",
        status,
        step=step,
        to=inside(sent.get("to", "/")),
        carried=read_carried(sent.get(NAME, "")),
        wrong=wrong,
        banner=banner,
    )
    answer.headers.update(HEADERS)
    return answer


@router.post("/sign-in/step")
def second_step(
    request: Request, sent: SentForm, database: DatabaseOf, clock: ClockOf
) -> Response:
    """Let in by a code, after the password."""
    now, step = clock(), sent.get("step", "")
    with database.reading() as session:
        waiting = waiting_of(session, step, now)
        door = door_of(session, "", now)
        account = account_of(session, waiting.account_id or 0) if waiting else None
    if account is None:
        return show(door, sent, 401, banner=LATE)
    tries, key, address = entrance_of(request).tries, str(account.id), where_from(request)
    wait = max(tries.codes.wait(key, now), tries.addresses.wait(address, now))
    if wait:
        return slowed(ask_for_code(sent, step, 429, banner=slow(wait)), wait)
    tries.addresses.begin(address, now)
    # Told once, before the first pause: whoever gives the codes knows the password.
    tell = tries.codes.begin(key, now) == tries.codes.free
    with database.writing() as session:
        row = waiting_of(session, step, now, lock=True)
        if row is None:
            return show(door, sent, 401, banner=LATE)
        found = given(session, account.id or 0, sent.get("code", ""), now)
        if found is None:
            if tell:
                changes.note(session, account.id, Change.STEP_TRIED, now)
            return ask_for_code(sent, step, 401, wrong=WRONG)
        use_up(session, row)
        secret = _in(session, request, account, found, now)
    tries.codes.forgive(key)
    tries.addresses.undo(address, now)
    return back_with(request, database, account, secret, sent, now)


def _in(session: Session, request: Request, account: Account, found: Given, now: datetime) -> str:
    secret = signed_in(session, request, account, now)
    if found is Given.RECOVERY:
        changes.note(session, account.id, Change.RECOVERY, now, seen_in=digest(secret))
    return secret
