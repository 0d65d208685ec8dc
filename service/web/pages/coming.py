"""What all ways in have in common: the form as it was typed, the page, the answer that lets in."""

from dataclasses import dataclass
from datetime import datetime
from math import ceil
from typing import Annotated, Final

from fastapi import Depends, HTTPException, Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from sqlmodel import Session

from service.db import Database
from service.doors import secondstep, sessions
from service.doors.accounts import account_of, accounts
from service.doors.codes import code_of
from service.doors.entrance import Entrance
from service.doors.passwords import strength
from service.models import Account, SignInCode
from service.owner.limits import address_key
from service.web.known import cookie_name, secret_of, who_signed_in
from service.web.origin import FOREIGN, origin_of
from service.web.pages.carrying import NAME, Carried, is_theirs, page_of, read_carried
from service.web.pages.render import page
from service.web.sentform import form_of

SEE_OTHER: Final = 303
LONGEST: Final = 4_000
"""Characters of a field: no password and no address of ours is so long."""
KEPT: Final = (
    "You were signed out, so nothing was done yet. What you typed is on this page: sign in, and"
    " send it."
)
GOOD: Final = "Hard to guess."
SLOW: Final = "That was tried often. Wait {seconds} s, then try again."
HEADERS: Final = {"Referrer-Policy": "same-origin"}
"""The address of this page may hold a code, which no other site is told. Not none at all: an older
browser would send its form as if from nowhere, and be refused."""

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
class Door:
    """What is known before the page: the code given, whose it is, whether there is anybody.

    A link by which a password is chosen ends a second step: that is the way back to whoever has
    lost its device.
    """

    code: SignInCode | None
    account: Account | None
    anybody: bool
    ends_step: bool = False

    @property
    def chooses(self) -> bool:
        """Return whether a password is to be chosen."""
        return self.code is not None


def door_of(session: Session, code: str, now: datetime, *, lock: bool = False) -> Door:
    """Return what is known before the page, with the code locked to be used up."""
    found = code_of(session, code, now, lock=lock) if code else None
    account = account_of(session, found.account_id) if found and found.account_id else None
    ends_step = bool(account and secondstep.is_on(session, account.id or 0))
    return Door(found, account, bool(accounts(session)), ends_step)


def show(
    door: Door,
    sent: Sent,
    status: int = 200,
    wrong: dict[str, str] | None = None,
    banner: str = "",
) -> HTMLResponse:
    """Return the page that asks for name and password, or lets choose them."""
    answer = page(
        "sign_in.html",
        status,
        chooses=door.chooses,
        whose=door.account.name if door.account else "",
        anybody=door.anybody,
        ends_step=door.ends_step,
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
    door = Door(None, None, anybody=True)
    sent = {NAME: carried.text}
    return show(door, sent, 401, banner=KEPT)


def back_with(
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


def signed_in(session: Session, request: Request, account: Account, now: datetime) -> str:
    """Sign in anew: what the browser held before opens nothing any more."""
    sessions.end(session, secret_of(request))
    return sessions.sign_in(session, account, now)


def judgement(password: str, name: str) -> JSONResponse:
    """Return how strong a password is, as it is judged when it is kept."""
    found = strength(password, name)
    return JSONResponse({"score": found.score, "said": found.said or GOOD})


def slowed(answer: HTMLResponse, wait: float) -> HTMLResponse:
    """Return an answer that says when to try again."""
    answer.headers["Retry-After"] = str(ceil(wait))
    return answer


def slow(wait: float) -> str:
    """Return the sentence for somebody who tries too often."""
    return SLOW.format(seconds=ceil(wait))


def where_from(request: Request) -> str:
    """Return the address that tries are counted by."""
    return address_key(request.client.host if request.client else "")
