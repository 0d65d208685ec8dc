"""The second step of one's own account: set up, switched off, and its recovery codes made anew."""

from typing import Final

from fastapi import Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from markupsafe import Markup

from service.doors import changes, recovery
from service.doors.accounts import account_of
from service.doors.secondstep import address_of, begin, begun, is_on, switch_off, switch_on
from service.doorwords import Change
from service.errors import NotAllowedError, UnreadableError
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.known import sign_in_of
from service.web.pages.account import NOT_IT, here, is_theirs, show
from service.web.pages.coming import SEE_OTHER, SentForm
from service.web.pages.render import page
from service.web.parts import page_part

router = page_part("/account/step")
NO_PASSWORD: Final = "Choose a password first: the second step comes after it."  # noqa: S105 - a sentence
OFF: Final = "The second step is not on."
QUIET_ZONE: Final = 4
"""Modules of light round the picture (ISO/IEC 18004): readers look for it."""


def _picture(text: str) -> Markup:
    """Return a text as a picture for apps, dark on light in any colours that the page has."""
    import segno  # noqa: PLC0415 - a start does without it, and it is needed seldom

    made = segno.make(text, error="m", micro=False)
    drawn = made.svg_inline(
        border=QUIET_ZONE, dark="#000", light="#fff", svgclass="qr", omitsize=True
    )
    return Markup(drawn)  # noqa: S704 - shapes alone: no letter of the text is in it


def _show_key(key: str, status: int = 200, wrong: str = "") -> HTMLResponse:
    address = address_of(key, here().name)
    return page(
        "account_step.html",
        status,
        codes=(),
        key=key,
        address=address,
        picture=_picture(address),
        wrong=wrong,
    )


def _show_codes(codes: list[str]) -> HTMLResponse:
    return page("account_step.html", codes=codes)


@router.post("")
def set_up(request: Request, sent: SentForm, database: DatabaseOf, clock: ClockOf) -> Response:
    """Show a new key, if the password is told with it; nothing is asked for yet."""
    now = clock()
    if not is_theirs(request, database, sent.get("password_now", ""), now):
        return show(request, database, now, 422, {"step": NOT_IT})
    with database.writing() as session:
        account = account_of(session, here().account_id)
        if not account.password:
            raise NotAllowedError(NO_PASSWORD)
        key = begin(session, account, now)
    return _show_key(key)


@router.post("/on")
def set_on(request: Request, sent: SentForm, database: DatabaseOf, clock: ClockOf) -> Response:
    """Ask for codes from now on, if the first one is right; show the recovery codes this once."""
    now, whose = clock(), here().account_id
    try:
        with database.writing() as session:
            codes = switch_on(session, whose, sent.get("code", ""), now)
            changes.note(session, whose, Change.STEP, now, seen_in=sign_in_of(request))
    except UnreadableError as error:
        with database.reading() as session:
            key = begun(session, whose, now)
        return _show_key(key, 422, error.fields["code"])
    return _show_codes(codes)


@router.post("/off")
def set_off(request: Request, sent: SentForm, database: DatabaseOf, clock: ClockOf) -> Response:
    """Ask for codes no more, if the password is told with it."""
    now, whose = clock(), here().account_id
    if not is_theirs(request, database, sent.get("password_now", ""), now):
        return show(request, database, now, 422, {"step": NOT_IT})
    with database.writing() as session:
        if switch_off(session, whose):
            changes.note(session, whose, Change.STEP_OFF, now, seen_in=sign_in_of(request))
    return RedirectResponse("/account", SEE_OTHER)


@router.post("/codes")
def new_codes(request: Request, sent: SentForm, database: DatabaseOf, clock: ClockOf) -> Response:
    """Show new recovery codes this once, if the password is told with it; the old ones end."""
    now, whose = clock(), here().account_id
    if not is_theirs(request, database, sent.get("password_now", ""), now):
        return show(request, database, now, 422, {"step": NOT_IT})
    with database.writing() as session:
        if not is_on(session, whose):
            raise NotAllowedError(OFF)
        codes = recovery.new_codes(session, whose, now)
        changes.note(session, whose, Change.CODES, now, seen_in=sign_in_of(request))
    return _show_codes(codes)
