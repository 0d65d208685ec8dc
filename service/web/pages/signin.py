"""The way in: by name and password, or by a one-time code; and the way out."""

from datetime import datetime
from math import ceil
from typing import Annotated, Final

from fastapi import Query, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from sqlmodel import Session

from service.db import Database
from service.doors import changes, sessions
from service.doors.accounts import (
    folded,
    knock,
    make_account,
    refresh_hash,
    set_password,
    still_opens,
)
from service.doors.codes import use_up, wait_for_step
from service.doors.roles import Purpose, Role
from service.doors.secondstep import is_on, switch_off
from service.doorwords import Change
from service.errors import NotFoundError, TooManyError, UnreadableError
from service.links import digest
from service.models import Account
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.known import cookie_name, secret_of, who_signed_in
from service.web.pages.coming import (
    HEADERS,
    LONGEST,
    SEE_OTHER,
    Sent,
    SentForm,
    back_with,
    door_of,
    entrance_of,
    inside,
    judgement,
    let_in,
    show,
    signed_in,
    slow,
    slowed,
    where_from,
)
from service.web.pages.stepping import ask_for_code
from service.web.parts import page_part
from service.web.visitor import visitor

router = page_part()
WRONG: Final = "The name and the password do not belong together."
SPENT: Final = "That link opens nothing, or no longer: each works once, and not for long."


@router.get("/sign-in")
def sign_in_page(
    request: Request,
    database: DatabaseOf,
    clock: ClockOf,
    code: Annotated[str, Query(max_length=100)] = "",
    to: Annotated[str, Query(max_length=LONGEST)] = "/",
    out: str = "",
) -> Response:
    """Show the way in; whoever is in already goes on."""
    now = clock()
    with database.reading() as session:
        door = door_of(session, code, now)
    if door.code and door.account and door.code.purpose == Purpose.STRAIGHT.value:
        return _straight_in(request, database, code, now)
    if not door.code and who_signed_in(database, secret_of(request), now):
        return RedirectResponse(inside(to), SEE_OTHER, headers=HEADERS)
    sent = {"code": code, "to": to} | ({"out": out} if out else {})
    return show(door, sent, banner=SPENT if code and not door.code else "")


def _straight_in(request: Request, database: Database, code: str, now: datetime) -> Response:
    """Use a code up that needs nothing more."""
    with database.writing() as session:
        door = door_of(session, code, now, lock=True)
        if door.code is None or door.account is None:
            return show(door, {}, banner=SPENT)
        use_up(session, door.code)
        secret = signed_in(session, request, door.account, now)
        _note_link(session, door.account, Change.STRAIGHT, secret, now)
    return let_in(request, secret, "/")


def _note_link(
    session: Session, account: Account, change: Change, secret: str, now: datetime
) -> None:
    """Write down that a link was used; an account without a password has no other way in."""
    first = not account.password or change is Change.FIRST
    changes.link_used(session, account.id, now)
    changes.note(session, account.id, change, now, seen_in=digest(secret), known=first)


@router.post("/sign-in")
def sign_in(request: Request, sent: SentForm, database: DatabaseOf, clock: ClockOf) -> Response:
    """Let in by name and password, or by a code and the password that is chosen with it."""
    now = clock()
    if sent.get("code"):
        return _chosen(request, sent, database, now)
    tries = entrance_of(request).tries
    name, address = folded(sent.get("name", "")), where_from(request)
    wait = max(tries.names.wait(name, now), tries.addresses.wait(address, now))
    with database.reading() as session:
        door = door_of(session, "", now)
    if wait:
        return slowed(show(door, sent, 429, banner=slow(wait)), wait)
    tries.names.begin(name, now)
    tries.addresses.begin(address, now)
    password, hasher = sent.get("password", ""), entrance_of(request).hasher
    with database.reading() as session:
        account = knock(session, name, password, hasher)
    if account is None:
        return show(door, sent, 401, banner=WRONG)
    with database.writing() as session:
        whose = account.id or 0
        if not still_opens(session, account):
            return show(door, sent, 401, banner=WRONG)
        tries.names.forgive(name)
        tries.addresses.undo(address, now)
        refresh_hash(session, whose, password, hasher)
        if is_on(session, whose):
            return ask_for_code(sent, wait_for_step(session, whose, now))
        secret = signed_in(session, request, account, now)
    return back_with(request, database, account, secret, sent, now)


@router.post("/sign-in/strength")
def judge_first(
    request: Request, sent: SentForm, database: DatabaseOf, clock: ClockOf
) -> JSONResponse:
    """Say how strong a password is to whoever holds a link to choose one; nothing is kept.

    Raises:
        NotFoundError: if the link opens nothing: strangers do not let the server work.
        TooManyError: if it was asked by this link more than anybody types.
    """
    now, code = clock(), sent.get("code", "")
    with database.reading() as session:
        door = door_of(session, code, now)
    if door.code is None:
        raise NotFoundError(SPENT)
    judged, key = entrance_of(request).tries.judged, digest(code)
    wait = judged.wait(key, now)
    if wait:
        raise TooManyError(ceil(wait))
    judged.begin(key, now)
    name = door.account.name if door.account else sent.get("name", "")
    return judgement(sent.get("password", ""), name)


def _chosen(request: Request, sent: Sent, database: Database, now: datetime) -> Response:
    """Use a code up: make the first account, or give one a new password; then let in."""
    hasher, password = entrance_of(request).hasher, sent.get("password", "")
    with database.reading() as session:
        door = door_of(session, sent["code"], now)
    try:
        with database.writing() as session:
            door = door_of(session, sent["code"], now, lock=True)
            if door.code is None:
                return show(door, sent | {"code": ""}, 404, banner=SPENT)
            account = door.account or make_account(session, sent.get("name", ""), Role.MAKER, now)
            change = Change.BY_LINK if account.password else Change.FIRST
            use_up(session, door.code)
            set_password(session, account, password, hasher)
            if switch_off(session, account.id or 0):
                changes.note(session, account.id, Change.STEP_OFF, now)
            secret = signed_in(session, request, account, now)
            _note_link(session, account, change, secret, now)
    except UnreadableError as error:
        return show(door, sent, 422, wrong=error.fields)
    return let_in(request, secret, sent.get("to", "/"))


@router.post("/sign-out")
def sign_out(
    request: Request,
    database: DatabaseOf,
    clock: ClockOf,
    everywhere: Annotated[str, Query(max_length=1)] = "",
) -> Response:
    """End this sign-in, or all of the account's."""
    here = visitor()
    with database.writing() as session:
        sessions.end(session, secret_of(request))
        if everywhere and here:
            sessions.end_all(session, here.account_id)
            changes.note(session, here.account_id, Change.OUT, clock())
    answer = RedirectResponse("/sign-in?out=1", SEE_OTHER)
    answer.delete_cookie(
        cookie_name(request), secure=entrance_of(request).secure, httponly=True, samesite="lax"
    )
    answer.headers["Clear-Site-Data"] = '"cache"'
    return answer
