"""The way in: by name and password, or by a one-time code; and the way out."""

from dataclasses import dataclass
from datetime import datetime
from math import ceil
from typing import Annotated, Final

from fastapi import Depends, HTTPException, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from sqlmodel import Session

from service.db import Database
from service.doors import changes, sessions
from service.doors.accounts import (
    account_of,
    accounts,
    folded,
    knock,
    make_account,
    refresh_hash,
    set_password,
)
from service.doors.codes import code_of, use_up
from service.doors.entrance import Entrance
from service.doors.roles import Purpose, Role
from service.doorwords import Change
from service.errors import UnreadableError
from service.links import digest
from service.models import Account, SignInCode
from service.owner.limits import address_key
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.known import cookie_name, secret_of, who_signed_in
from service.web.origin import FOREIGN, origin_of
from service.web.pages.carrying import NAME, Carried, is_theirs, page_of, read_carried
from service.web.pages.render import page
from service.web.parts import page_part
from service.web.sentform import form_of
from service.web.visitor import visitor

router = page_part()
SEE_OTHER: Final = 303
LONGEST: Final = 4_000
"""Characters of a field: no password and no address of ours is so long."""
WRONG: Final = "The name and the password do not belong together."
SPENT: Final = "That link opens nothing, or no longer: each works once, and not for long."
KEPT: Final = (
    "You were signed out, so nothing was done yet. What you typed is on this page: sign in, and"
    " send it."
)
SLOW: Final = "That was tried often. Wait {seconds} s, then try again."
HEADERS: Final = {"Referrer-Policy": "no-referrer"}
"""The address of this page may hold a code."""

Sent = dict[str, str]


async def _sent(request: Request) -> Sent:
    """Read the form as it was typed: a password may begin with a space."""
    if origin_of(request) is False:
        raise HTTPException(403, FOREIGN)
    form = await form_of(request)
    return {
        name: text if name == NAME else text[:LONGEST]
        for name, text in form.items()
        if isinstance(text, str)
    }


SentForm = Annotated[Sent, Depends(_sent)]


def entrance_of(request: Request) -> Entrance:
    """Return what the doors need, of the running application."""
    entrance: Entrance = request.app.state.gate
    return entrance


def inside(to: str) -> str:
    """Return an address of ours to go on to: nobody is led elsewhere."""
    ours = to.startswith("/") and not to.startswith(("//", "/\\")) and to.isprintable()
    return to if ours and not to.startswith("/sign-") else "/"


@dataclass(frozen=True, slots=True)
class _Door:
    """What is known before the page: the code given, whose it is, whether there is anybody."""

    code: SignInCode | None
    account: Account | None
    anybody: bool

    @property
    def chooses(self) -> bool:
        """Return whether a password is to be chosen."""
        return self.code is not None


def _door(session: Session, code: str, now: datetime, *, lock: bool = False) -> _Door:
    found = code_of(session, code, now, lock=lock) if code else None
    account = account_of(session, found.account_id) if found and found.account_id else None
    return _Door(found, account, bool(accounts(session)))


def _show(
    door: _Door,
    sent: Sent,
    status: int = 200,
    wrong: dict[str, str] | None = None,
    banner: str = "",
) -> HTMLResponse:
    answer = page(
        "sign_in.html",
        status,
        chooses=door.chooses,
        whose=door.account.name if door.account else "",
        anybody=door.anybody,
        code=sent.get("code", ""),
        name=sent.get("name", ""),
        to=inside(sent.get("to", "/")),
        out="out" in sent,
        carried=read_carried(sent.get(NAME, "")),
        wrong=wrong or {},
        banner=banner,
    )
    answer.headers.update(HEADERS)
    return answer


def ask_to_sign_in(carried: Carried) -> HTMLResponse:
    """Return the page that asks for the password, with a form on it that came too late."""
    door = _Door(None, None, anybody=True)
    sent = {NAME: carried.text}
    return _show(door, sent, 401, banner=KEPT)


def _back_with(
    request: Request, database: Database, account: Account, secret: str, sent: Sent, now: datetime
) -> Response:
    """Return the answer that lets in, with the form on it that came too late, if it is theirs."""
    carried = read_carried(sent.get(NAME, ""))
    here = who_signed_in(database, secret, now)
    if not (carried and here and is_theirs(carried, account.id or 0, account.password)):
        return let_in(request, secret, sent.get("to", "/"))
    answer = page_of(carried, here)
    _give(request, answer, secret)
    return answer


def let_in(request: Request, secret: str, to: str) -> Response:
    """Return the answer that gives a browser the secret of its sign-in and leads it on."""
    answer = RedirectResponse(inside(to), SEE_OTHER, headers=HEADERS)
    _give(request, answer, secret)
    return answer


def _give(request: Request, answer: Response, secret: str) -> None:
    answer.set_cookie(
        cookie_name(request),
        secret,
        max_age=int(sessions.ABSOLUTE.total_seconds()),
        secure=entrance_of(request).secure,
        httponly=True,
        samesite="lax",
    )


def _signed_in(session: Session, request: Request, account: Account, now: datetime) -> str:
    """Sign in anew: what the browser held before opens nothing any more."""
    sessions.end(session, secret_of(request))
    return sessions.sign_in(session, account, now)


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
        door = _door(session, code, now)
    if door.code and door.account and door.code.purpose == Purpose.STRAIGHT.value:
        return _straight_in(request, database, code, now)
    if not door.code and who_signed_in(database, secret_of(request), now):
        return RedirectResponse(inside(to), SEE_OTHER, headers=HEADERS)
    sent = {"code": code, "to": to} | ({"out": out} if out else {})
    return _show(door, sent, banner=SPENT if code and not door.code else "")


def _straight_in(request: Request, database: Database, code: str, now: datetime) -> Response:
    """Use a code up that needs nothing more."""
    with database.writing() as session:
        door = _door(session, code, now, lock=True)
        if door.code is None or door.account is None:
            return _show(door, {}, banner=SPENT)
        use_up(session, door.code)
        secret = _signed_in(session, request, door.account, now)
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
    name, address = folded(sent.get("name", "")), _address(request)
    wait = max(tries.names.wait(name, now), tries.addresses.wait(address, now))
    with database.reading() as session:
        door = _door(session, "", now)
    if wait:
        seconds = ceil(wait)
        answer = _show(door, sent, 429, banner=SLOW.format(seconds=seconds))
        answer.headers["Retry-After"] = str(seconds)
        return answer
    tries.names.begin(name, now)
    tries.addresses.begin(address, now)
    password, hasher = sent.get("password", ""), entrance_of(request).hasher
    with database.reading() as session:
        account = knock(session, name, password, hasher)
    if account is None:
        return _show(door, sent, 401, banner=WRONG)
    tries.names.forgive(name)
    tries.addresses.undo(address, now)
    with database.writing() as session:
        refresh_hash(session, account.id or 0, password, hasher)
        secret = _signed_in(session, request, account, now)
    return _back_with(request, database, account, secret, sent, now)


def _address(request: Request) -> str:
    return address_key(request.client.host if request.client else "")


def _chosen(request: Request, sent: Sent, database: Database, now: datetime) -> Response:
    """Use a code up: make the first account, or give one a new password; then let in."""
    hasher, password = entrance_of(request).hasher, sent.get("password", "")
    with database.reading() as session:
        door = _door(session, sent["code"], now)
    try:
        with database.writing() as session:
            door = _door(session, sent["code"], now, lock=True)
            if door.code is None:
                return _show(door, sent | {"code": ""}, 404, banner=SPENT)
            account = door.account or make_account(session, sent.get("name", ""), Role.MAKER, now)
            change = Change.BY_LINK if account.password else Change.FIRST
            set_password(session, account, password, hasher)
            use_up(session, door.code)
            secret = _signed_in(session, request, account, now)
            _note_link(session, account, change, secret, now)
    except UnreadableError as error:
        return _show(door, sent, 422, wrong=error.fields)
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
