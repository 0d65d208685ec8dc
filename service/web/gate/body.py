"""The body of a request, read whole before anything is done: of a size, and within a time."""

from typing import Final

import anyio
from fastapi import HTTPException
from starlette.types import Message, Receive, Scope

from service.bringing.files import MOST_SENT
from service.web.sentform import TYPED, kind_of

LARGEST: Final = 1_000_000
"""Bytes of a body: fifty times the longest order."""
LARGER: Final = dict.fromkeys(("POST /bring-in", "POST /api/v1/bring-in"), MOST_SENT + LARGEST)
"""Bytes for lines of the table that take more."""
FORM: Final = 150_000
"""Bytes of a form without a file: seven times the longest order. Reading it takes long."""
ADDRESS: Final = 8_000
"""Characters of an address: a hundred orders' tickets in one print take a fifth of it."""
_NO_ADDRESS: Final = f"That address is too long: {ADDRESS} characters at most. Ask for less."
LED: Final = frozenset({"GET", "HEAD"})
_NO_FILE: Final = "No file is taken here. Send the form as its page does."
PATIENCE: Final = 30.0
"""Seconds in which a body must have come."""


def check_address(scope: Scope) -> None:
    """Refuse an address longer than any of ours, before it is read in parts.

    Raises:
        HTTPException: 414.
    """
    if len(scope["path"]) + len(scope["query_string"]) > ADDRESS:
        raise HTTPException(414, _NO_ADDRESS)


def _announced(scope: Scope) -> int:
    lengths = [value for name, value in scope["headers"] if name == b"content-length"]
    return int(lengths[0]) if lengths and lengths[0].isdigit() else 0


def _most(scope: Scope, line: str) -> int:
    """Return how many bytes a body may have.

    Raises:
        HTTPException: 415 for a file where none is taken.
    """
    kinds = [value for name, value in scope["headers"] if name == b"content-type"]
    kind = kind_of(kinds[0]) if kinds else b""
    if kind == TYPED:
        return FORM
    # Who is led on to another page may still name the kind of what was sent before.
    if kind == b"multipart/form-data" and line not in LARGER and scope["method"] not in LED:
        raise HTTPException(415, _NO_FILE)
    return LARGER.get(line, LARGEST)


async def read_body(scope: Scope, receive: Receive, line: str) -> bytes:
    """Return the body.

    Raises:
        HTTPException: 413 if it is too large, 415 if it is a file that nobody wants, 408 if it
            does not come.
    """
    most = _most(scope, line)
    too_large = HTTPException(
        413, f"That is more than fits: {most // 1000} kB at most. Send less at once."
    )
    if _announced(scope) > most:
        raise too_large
    content = bytearray()
    try:
        with anyio.fail_after(PATIENCE):
            while True:
                message = await receive()
                if message["type"] == "http.disconnect":
                    break
                content += message.get("body", b"")
                if len(content) > most:
                    raise too_large
                if not message.get("more_body", False):
                    break
    except TimeoutError:
        raise HTTPException(408, "The request did not come in time. Send it again.") from None
    return bytes(content)


def replay(content: bytes, receive: Receive) -> Receive:
    """Return a way to receive a body that was read already, then whatever comes after it."""
    sent = False

    async def again() -> Message:
        nonlocal sent
        if sent:
            return await receive()
        sent = True
        return {"type": "http.request", "body": content, "more_body": False}

    return again
