"""Who may come in, and the keys for programs: the maker's to give and to take back."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from fastapi import Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from sqlmodel import Session

from service.doors import accounts as people
from service.doors import changes, codes, keys
from service.doors.roles import Purpose, Role, Scope
from service.doorwords import Change
from service.errors import UnreadableError
from service.web.dependencies import ClockOf, DatabaseOf, IdOf, address_outside
from service.web.known import sign_in_of
from service.web.pages.account import here
from service.web.pages.render import page
from service.web.pages.typed import Typed, Values, last
from service.web.parts import page_part

router = page_part("/accounts")
SEE_OTHER: Final = 303
SCOPES: Final = (
    (Scope.READ.value, "look at everything"),
    (Scope.WRITE.value, "take and change orders, yarns and the shop"),
    (Scope.PAPERS.value, "print papers, write invoices, send mails"),
)
ROLES: Final = (
    (Role.HELPER.value, "a helper: tickets and the bench, no prices, buyers or addresses"),
    (Role.MAKER.value, "a maker: everything"),
)


@dataclass(frozen=True, slots=True)
class Shown:
    """What is shown this once: a link for a person, or a key for a program."""

    what: str
    whose: str
    secret: str


def _show(
    database: DatabaseOf,
    status: int = 200,
    *,
    typed: Values | None = None,
    wrong: dict[str, str] | None = None,
    shown: Shown | None = None,
) -> HTMLResponse:
    with database.reading() as session:
        everybody = people.accounts(session)
        held = keys.keys(session, here().account_id)
    return page(
        "accounts.html",
        status,
        everybody=everybody,
        keys=held,
        scopes=SCOPES,
        roles=ROLES,
        typed=typed or {},
        wrong=wrong or {},
        shown=shown,
    )


def _link(request: Request, code: str) -> str:
    return f"{address_outside(request)}/sign-in?code={code}"


def _note(session: Session, request: Request, change: Change, about: str, now: datetime) -> None:
    """Write down for whoever asks what was changed of who comes in, or of their keys."""
    seen_in = sign_in_of(request)
    changes.note(session, here().account_id, change, now, about=about, seen_in=seen_in)


@router.get("")
def accounts_page(database: DatabaseOf) -> HTMLResponse:
    """Show who may come in, and the keys."""
    return _show(database)


@router.post("")
def invite(request: Request, typed: Typed, database: DatabaseOf, clock: ClockOf) -> HTMLResponse:
    """Make an account and show, this once, the link by which its password is chosen."""
    now = clock()
    role = Role.MAKER if last(typed, "role") == Role.MAKER.value else Role.HELPER
    try:
        with database.writing() as session:
            account = people.make_account(session, last(typed, "name"), role, now)
            code = codes.new_code(session, Purpose.PASSWORD, now, account, codes.INVITES)
            name = account.name
            _note(session, request, Change.LET_IN, name, now)
    except UnreadableError as error:
        return _show(database, 422, typed=typed, wrong=error.fields)
    return _show(database, shown=Shown("link", name, _link(request, code)))


@router.post("/{account_id}/link")
def new_link(
    account_id: IdOf, request: Request, database: DatabaseOf, clock: ClockOf
) -> HTMLResponse:
    """Show a new link for an account whose password was lost."""
    now = clock()
    with database.writing() as session:
        account = people.account_of(session, account_id)
        code = codes.new_code(session, Purpose.PASSWORD, now, account, codes.INVITES)
        changes.note(session, account_id, Change.LINK, now, known=not account.password)
        name = account.name
    return _show(database, shown=Shown("link", name, _link(request, code)))


@router.post("/{account_id}/shut")
def shut(account_id: IdOf, request: Request, database: DatabaseOf, clock: ClockOf) -> Response:
    """Let nobody in by an account any more."""
    now = clock()
    with database.writing() as session:
        account = people.account_of(session, account_id)
        if account.shut_at is None:
            people.shut(session, account, now)
            _note(session, request, Change.SHUT, account.name, now)
    return RedirectResponse("/accounts", SEE_OTHER)


@router.post("/keys")
def new_key(request: Request, typed: Typed, database: DatabaseOf, clock: ClockOf) -> HTMLResponse:
    """Make a key and show it, this once."""
    now = clock()
    chosen = [scope for scope in Scope if scope.value in typed.get("scopes", ())]
    try:
        with database.writing() as session:
            account = people.account_of(session, here().account_id)
            row, secret = keys.make_key(session, account, last(typed, "key_name"), chosen, now)
            name = row.name
            _note(session, request, Change.KEY, name, now)
    except UnreadableError as error:
        return _show(database, 422, typed=typed, wrong=error.fields)
    return _show(database, shown=Shown("key", name, secret))


@router.post("/keys/{key_id}/shut")
def shut_key(key_id: IdOf, request: Request, database: DatabaseOf, clock: ClockOf) -> Response:
    """Take a key back."""
    now, whose = clock(), here().account_id
    with database.writing() as session:
        name = keys.shut_key(session, whose, key_id, now)
        if name:
            _note(session, request, Change.KEY_SHUT, name, now)
    return RedirectResponse("/accounts#keys", SEE_OTHER)
