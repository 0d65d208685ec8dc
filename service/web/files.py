"""Our own style sheet, scripts and icon: read once, and answered from memory.

Each has an address that names what it holds, so that a browser keeps it for good and never asks
again; a changed file has another address. They go compressed. The pages do not: compressed
text tells by its length what a page holds beside what somebody else put on it (BREACH).
"""

import gzip
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from http import HTTPStatus
from mimetypes import guess_type
from pathlib import Path
from typing import Final

from fastapi import HTTPException, Request, Response
from starlette.types import Receive, Scope, Send

FOLDER: Final = Path(__file__).parent / "static"
FOR_GOOD: Final = "public, max-age=31536000, immutable"
ASK_AGAIN: Final = "no-cache"
"""For an address that does not say what it stands for."""
_MARK: Final = 16
"""Characters of a digest: enough to tell our own versions apart."""


@dataclass(frozen=True, slots=True)
class OwnFile:
    """A file as it is answered: its bytes, the same compressed, its kind and its digest."""

    plain: bytes
    packed: bytes
    kind: str
    mark: str


def _read(path: Path) -> OwnFile:
    plain = path.read_bytes()
    kind = guess_type(path.name)[0] or "application/octet-stream"
    return OwnFile(plain, gzip.compress(plain, mtime=0), kind, sha256(plain).hexdigest()[:_MARK])


@cache
def own_files() -> dict[str, OwnFile]:
    """Return our files by name."""
    return {path.name: _read(path) for path in sorted(FOLDER.iterdir()) if path.is_file()}


def own_address(name: str) -> str:
    """Return the address of a file of ours, which changes whenever the file does."""
    return f"/static/{name}?v={own_files()[name].mark}"


def _answer(request: Request, kept: OwnFile) -> Response:
    named = request.query_params.get("v") == kept.mark
    packs = "gzip" in request.headers.get("accept-encoding", "")
    tag = f'"{kept.mark}{"-gzip" if packs else ""}"'
    headers = {
        "Cache-Control": FOR_GOOD if named else ASK_AGAIN,
        "ETag": tag,
        "Vary": "Accept-Encoding",
    }
    if tag in request.headers.get("if-none-match", ""):
        return Response(status_code=HTTPStatus.NOT_MODIFIED, headers=headers)
    if packs:
        headers["Content-Encoding"] = "gzip"
    return Response(kept.packed if packs else kept.plain, headers=headers, media_type=kept.kind)


async def answer_own(scope: Scope, receive: Receive, send: Send) -> None:
    """Answer a request for one of our files, without a thread and without the disk.

    Raises:
        HTTPException: 404 for what is none of them, 405 for what is no way to get one.
    """
    request = Request(scope, receive)
    if request.method not in {"GET", "HEAD"}:
        raise HTTPException(HTTPStatus.METHOD_NOT_ALLOWED, headers={"Allow": "GET, HEAD"})
    kept = own_files().get(request.url.path.removeprefix("/static/"))
    if kept is None:
        raise HTTPException(HTTPStatus.NOT_FOUND)
    await _answer(request, kept)(scope, receive, send)
