"""What the routes share: the database, the clock, versions and cursors."""

import re
from base64 import urlsafe_b64decode, urlsafe_b64encode
from binascii import Error as NotBase64
from ipaddress import ip_address
from typing import Annotated, Any, Final
from urllib.parse import urlsplit

from fastapi import Depends, Header, Path, Request

from service.db import Database
from service.errands import Errands
from service.errors import NotFoundError, UnreadableError
from service.orders import Clock
from service.settings import MailSettings
from service.web.answers import Answers
from service.web.kept import KeptPages


# All of these are `async`: one that is not is called in a thread of its own, for each request.
async def _database(request: Request) -> Database:
    database: Database = request.app.state.database
    return database


async def _clock(request: Request) -> Clock:
    clock: Clock = request.app.state.clock
    return clock


def _mail_of(request: Request) -> MailSettings:
    mail: MailSettings = request.app.state.mail
    return mail


async def _mail(request: Request) -> MailSettings:
    return _mail_of(request)


async def _answers(request: Request) -> Answers:
    answers: Answers = request.app.state.answers
    return answers


async def _kept(request: Request) -> KeptPages:
    kept: KeptPages = request.app.state.kept
    return kept


async def _errands(request: Request) -> Errands:
    errands: Errands = request.app.state.errands
    return errands


HIGHEST_ID: Final = 2**31 - 1
"""The highest id that a column of integers holds in PostgreSQL."""
IdOf = Annotated[int, Path(ge=1, le=HIGHEST_ID)]
DatabaseOf = Annotated[Database, Depends(_database)]
ClockOf = Annotated[Clock, Depends(_clock)]
AnswersOf = Annotated[Answers, Depends(_answers)]
KeptOf = Annotated[KeptPages, Depends(_kept)]
ErrandsOf = Annotated[Errands, Depends(_errands)]
MailOf = Annotated[MailSettings, Depends(_mail)]


def etag(version: int) -> str:
    """Return the ETag of a version."""
    return f'"{version}"'


async def _if_match(if_match: Annotated[str | None, Header(max_length=60)] = None) -> int | None:
    """Return the version in If-Match; an ETag that is none of ours is a version that never was."""
    if if_match is None:
        return None
    found = re.fullmatch(r'"([0-9]{1,9})"', if_match.strip())
    return int(found[1]) if found else -1


IfMatch = Annotated[int | None, Depends(_if_match)]


def once(said: str, most: int = 200, alias: str | None = None) -> Any:  # noqa: ANN401 - as Header
    """Return the header Idempotency-Key; `said` is what is one where it came twice."""
    return Header(
        alias=alias, min_length=1, max_length=most, pattern=r"^[\x20-\x7e]+$", description=said
    )


def cursor_of(order_id: int | None) -> str | None:
    """Return the cursor that stands for an id."""
    return urlsafe_b64encode(str(order_id).encode()).decode() if order_id else None


def id_of(cursor: str | None) -> int | None:
    """Return the id that a cursor stands for.

    Raises:
        UnreadableError: if it is no cursor of ours.
    """
    if not cursor:
        return None
    try:
        text = urlsafe_b64decode(cursor.encode()).decode()
        number = int(text) if re.fullmatch(r"[0-9]{1,10}", text) else 0
    except (NotBase64, ValueError):
        number = 0
    if not 1 <= number <= HIGHEST_ID:
        message = "That cursor is not one of ours. Begin the list anew."
        raise UnreadableError(message, {"cursor": message})
    return number


def whole_number(text: str) -> int:
    """Return the id that a form carries.

    Raises:
        NotFoundError: if it is none that can be.
    """
    if not (text.isascii() and text.isdigit() and len(text) <= len(str(HIGHEST_ID))):
        raise NotFoundError("There is nothing of that number. Load the page again.")
    return min(int(text), HIGHEST_ID)


def address_outside(request: Request) -> str:
    """Return where those outside reach the application, without a slash at the end."""
    return _mail_of(request).address or str(request.base_url).rstrip("/")


def is_near(address: str) -> bool:
    """Return whether an address leads only to this machine, or only within the house."""
    host = urlsplit(address).hostname or ""
    try:
        known = ip_address(host)
    except ValueError:
        return host == "localhost" or "." not in host
    return known.is_loopback or known.is_private
