"""The way in from outside: its own headers, its limits, and faults that tell nothing.

Whoever stands here has no account and no cookie: what a page shows hangs on its address alone.
"""

from datetime import datetime
from math import ceil
from typing import Annotated, Final
from urllib.parse import parse_qsl

from babel.core import Locale
from fastapi import Depends, HTTPException, Request
from fastapi.responses import HTMLResponse

from documents.language import ENGLISH, Language, language, languages, mark
from service.errors import TooManyError
from service.links import digest
from service.owner.limits import MISSED, Door, address_key
from service.troubles import TroubleError
from service.web.pages.render import HEADERS as INSIDE
from service.web.pages.render import page
from service.web.pages.troublepage import typed_again

PATHS: Final = ("/measure", "/ask", "/calendar")
"""Where strangers may come; nothing of the shop is shown below these."""
HEADERS: Final = {
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow",
    "Cache-Control": "no-store",
}
LARGEST: Final = 100_000
"""Bytes of a form: twenty times what anybody types."""
MOST_FIELDS: Final = 100
_POLICY: Final = "Content-Security-Policy"
_LATER: Final = mark("This cannot be kept just now. Please try again in a few minutes.")
_SAID: Final = {
    404: mark(
        "This link opens nothing, or no longer. Please ask the maker of the hood for a new one."
    ),
    413: mark("That is more than fits here. Please go back and send less."),
    429: mark("That was very often in a short time. Please wait a minute, then try again."),
    **dict.fromkeys((503, 507), _LATER),
}
_OTHERWISE: Final = mark("That did not work. Please go back and try once more.")

Sent = dict[str, str]


async def _sent(request: Request) -> Sent:
    """Read a form; any site may send one, for there is nothing here that a stranger may not do."""
    content = bytearray()
    async for chunk in request.stream():
        content += chunk
        if len(content) > LARGEST:
            raise HTTPException(413)
    try:
        pairs = parse_qsl(
            content.decode("utf-8", "replace"), keep_blank_values=True, max_num_fields=MOST_FIELDS
        )
    except ValueError:
        raise HTTPException(413) from None
    request.state.typed = dict(pairs)  # for the page that says that it could not be kept
    return dict(pairs)


SentForm = Annotated[Sent, Depends(_sent)]


def is_outside(path: str) -> bool:
    """Return whether an address is one for strangers."""
    return any(path == one or path.startswith(f"{one}/") for one in PATHS)


def door_of(request: Request) -> Door:
    """Return what stands between the shop and those outside."""
    door: Door = request.app.state.door
    return door


def address_of(request: Request) -> str:
    """Return the key of the address that asks."""
    return address_key(request.client.host if request.client else "")


def admit(request: Request, now: datetime, secret: str = "") -> None:
    """Let a request in, unless its address or its link has asked very often.

    Raises:
        TooManyError: if it has; it says for how many seconds to wait.
    """
    door = door_of(request)
    wait = door.addresses.take(address_of(request), now)
    if secret and not wait:
        wait = door.links.take(digest(secret), now)
    if wait:
        raise TooManyError(ceil(wait))


def missed(request: Request, now: datetime) -> None:
    """Let an address pay for a link that there is not."""
    door_of(request).addresses.drain(address_of(request), now, MISSED)


def _weight(part: str) -> float:
    try:
        return float(part.partition("q=")[2] or "1")
    except ValueError:
        return 0.0


def _accepted(header: str) -> str:
    """Return the first language of ours in an Accept-Language header, or English."""
    parts = [part.strip() for part in header[:400].split(",")]
    for part in sorted(parts, key=_weight, reverse=True):
        code = part.partition(";")[0].strip().lower().partition("-")[0]
        if code in languages():
            return code
    return ENGLISH


def language_of(request: Request, code: str = "") -> Language:
    """Return the language to speak: chosen on the page, else the link's, else the browser's."""
    chosen = request.query_params.get("language", "")
    if chosen in languages():
        return language(chosen)
    if code in languages():
        return language(code)
    return language(_accepted(request.headers.get("accept-language", "")))


def language_names() -> tuple[tuple[str, str], ...]:
    """Return the languages there are, each with the name it has in itself."""
    names = ((code, Locale.parse(code, sep="-").display_name or code) for code in languages())
    return tuple((code, name[:1].upper() + name[1:]) for code, name in names)


def show(
    template: str, spoken: Language, status: int = 200, *, frames: str = "", **context: object
) -> HTMLResponse:
    """Return a page for outside.

    Args:
        template: its name.
        spoken: the language it speaks.
        status: of the answer.
        frames: the origins, with spaces between them, whose pages may show this one inside.
        context: what the template needs besides.
    """
    answer = page(
        template,
        status,
        say=spoken.say,
        language=spoken,
        languages=language_names(),
        inside=bool(frames),
        **context,
    )
    answer.headers.update(HEADERS)
    if frames:
        answer.headers[_POLICY] = INSIDE[_POLICY].replace(
            "frame-ancestors 'none'", f"frame-ancestors {frames}"
        )
    return answer


def fault(request: Request, error: Exception, status: int) -> HTMLResponse:
    """Return the page for what did not work: the same for all that a stranger might try."""
    spoken = language_of(request)
    said = spoken.say(_SAID.get(status, _OTHERWISE))
    if isinstance(error, TroubleError):
        return show("owner_trouble.html", spoken, status, said=said, again=typed_again(request))
    answer = show("owner_fault.html", spoken, status, said=said)
    if isinstance(error, TooManyError):
        answer.headers["Retry-After"] = str(error.seconds)
    return answer
