"""Whether a change comes from one of our own pages.

Another site's page may send one too, and the browser adds the maker's cookie to it.
"""

from hmac import compare_digest
from typing import Final

from fastapi import HTTPException, Request

from service.web.gate.body import replay
from service.web.origin import FOREIGN, origin_of
from service.web.sentform import form_of
from service.web.visitor import FIELD, HEADER

SAFE: Final = frozenset({"GET", "HEAD", "OPTIONS"})
OLD: Final = (
    "This page is from before you last signed in, so nothing was done."
    " Go back, load the page anew and send it once more."
)


async def _sent_token(request: Request, content: bytes) -> str:
    given = request.headers.get(HEADER)
    if given is not None:
        return given
    form = await form_of(Request(request.scope, replay(content, request.receive)))
    text = form.get(FIELD)
    return text if isinstance(text, str) else ""


async def check_ours(request: Request, content: bytes, token: str, *, api: bool) -> None:
    """Refuse a change that is not from a page of this sign-in.

    Forms carry the token. A script's JSON needs none where the browser says that it is ours:
    no other site's page can send JSON without asking first, and nobody is answered yes.

    Raises:
        HTTPException: 403.
    """
    ours = origin_of(request)
    if ours is False:
        raise HTTPException(403, FOREIGN)
    if api and ours:
        return
    if not compare_digest((await _sent_token(request, content)).encode(), token.encode()):
        raise HTTPException(403, OLD)
