"""A form that comes too late: its sign-in has ended, and what was typed must not be lost."""

from fastapi import HTTPException, Request, Response
from fastapi.concurrency import run_in_threadpool

from service.errors import NotSignedInError
from service.web.gate.body import read_body, replay
from service.web.gate.forms import OLD, SAFE
from service.web.known import password_of
from service.web.origin import origin_of
from service.web.pages.carrying import Carried, carried_of, is_theirs, page_of
from service.web.pages.coming import ask_to_sign_in
from service.web.sentform import form_of
from service.web.visitor import Visitor


def _by_hand(request: Request) -> bool:
    """Return whether somebody sent a form of ours: no script, and no other site's page."""
    mode = request.headers.get("sec-fetch-mode", "navigate")
    return request.method not in SAFE and mode == "navigate" and origin_of(request) is not False


async def _carried(request: Request, content: bytes | None, line: str) -> Carried | None:
    try:
        if content is None:
            content = await read_body(request.scope, request.receive, line)
        form = await form_of(Request(request.scope, replay(content, request.receive)))
        return carried_of(request, list(form.multi_items()))
    except HTTPException:
        return None  # too large, or no form


async def answer_late(
    request: Request, line: str, visitor: Visitor | None, content: bytes | None, error: Exception
) -> Response | None:
    """Return the page that carries a form on, or None where none was sent or can be.

    Args:
        request: that was refused.
        line: of the gate's table.
        visitor: who is signed in now, if anybody is.
        content: the body, if it was read.
        error: why it was refused.
    """
    stranger = isinstance(error, NotSignedInError)
    old = isinstance(error, HTTPException) and error.detail == OLD
    if not (stranger or old) or not _by_hand(request):
        return None
    carried = await _carried(request, content, line)
    if carried is None:
        return None
    if stranger:
        answer = ask_to_sign_in(carried)
        answer.headers["WWW-Authenticate"] = "Bearer"
        return answer
    kept = await run_in_threadpool(password_of, request, request.app.state.clock())
    theirs = visitor and is_theirs(carried, visitor.account_id, kept)
    return page_of(carried, visitor) if visitor and theirs else None
