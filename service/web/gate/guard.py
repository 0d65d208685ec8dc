"""The guard: who asks, what for, and whether the table lets them."""

from http import HTTPStatus
from typing import Final, cast
from urllib.parse import quote

from fastapi import Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import RedirectResponse, Response
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Receive, Scope, Send

from service.actor import acting_as
from service.doors.roles import Role
from service.errors import NotSignedInError, NotYoursError, ServiceError
from service.troubles import TroubleError
from service.web.gate.body import check_address, read_body, replay
from service.web.gate.forms import SAFE, check_ours
from service.web.gate.late import answer_late
from service.web.gate.table import Who, scope_of
from service.web.gate.ways import Way, Ways
from service.web.known import who_is
from service.web.sentform import forget_form, form_of, texts_in
from service.web.visitor import CURRENT, FIELD, Visitor

API: Final = "/api/"
PROGRAMS: Final = (API, "/openapi")
"""Where a key opens, and where the answer to a stranger is no page."""
_RIGHTS: Final = {Role.HELPER: Who.HELPER, Role.MAKER: Who.MAKER}


def is_for_programs(path: str) -> bool:
    """Return whether an address is one that programs read."""
    return path.startswith(PROGRAMS)


def check_may(way: Way, visitor: Visitor) -> None:
    """Refuse what the table does not give to somebody.

    Raises:
        NotYoursError: saying why.
    """
    if way.who is None:
        raise NotYoursError(
            f"Nobody may use this yet: “{way.line}” is missing in the gate's table."
        )
    if _RIGHTS[visitor.role] < way.who:
        raise NotYoursError("This is for the maker's account. Ask the maker for what you need.")
    if visitor.scopes is not None and way.line and scope_of(way.line) not in visitor.scopes:
        wanted = scope_of(way.line).value
        raise NotYoursError(f"This key is not good for that: it needs the scope “{wanted}”.")


def _to_sign_in(request: Request) -> Response:
    query = f"?{request.url.query}" if request.url.query else ""
    where = quote(f"{request.url.path}{query}", safe="")
    return RedirectResponse(f"/sign-in?to={where}", HTTPStatus.SEE_OTHER)


class Guard:
    """Stands before the routes."""

    def __init__(self, app: ASGIApp) -> None:
        """Take what stands behind."""
        self._app = app
        self._ways = Ways()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request pass, or answer it here."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":  # we have no other kind of route
            return
        try:
            await self._answer(scope, receive, send)
        finally:
            await forget_form(scope)

    async def _answer(self, scope: Scope, receive: Receive, send: Send) -> None:
        request = Request(scope, receive)
        way = self._ways.find(request.app, scope)
        scope["hoodwright.route"] = way.path
        visitor, content = None, None
        try:
            check_address(scope)
            visitor = await self._admitted(request, way)
            content = await read_body(scope, receive, way.line)
            if visitor and visitor.scopes is None and request.method not in SAFE:
                api = is_for_programs(request.url.path)
                await check_ours(request, content, visitor.token, api=api)
        except (HTTPException, ServiceError) as error:
            if isinstance(error, TroubleError):
                await _keep_typed(request, way.line)
            page = not is_for_programs(request.url.path)
            late = await answer_late(request, way.line, visitor, content, error) if page else None
            answer = late or await _refusal(request, error)
            await answer(scope, receive, send)
            return
        before = CURRENT.set(visitor)
        try:
            with acting_as(visitor.name if visitor else ""):
                await self._app(scope, replay(content, receive), send)
        finally:
            CURRENT.reset(before)

    async def _admitted(self, request: Request, way: Way) -> Visitor | None:
        """Return who is let in; None where it does not matter."""
        if way.who is Who.ANYONE:
            return None
        api = is_for_programs(request.scope["path"])
        now = request.app.state.clock()
        visitor = await run_in_threadpool(who_is, request, now, api=api)
        if visitor is None:
            key = " A program sends a key, as a bearer token." if api else ""
            raise NotSignedInError(f"Sign in first.{key}")
        check_may(way, visitor)
        return visitor


async def _keep_typed(request: Request, line: str) -> None:
    """Read a form that cannot be let in just now, so that what was typed can be sent again."""
    if request.method in SAFE or is_for_programs(request.url.path):
        return
    content = await read_body(request.scope, request.receive, line)
    texts = texts_in(await form_of(Request(request.scope, replay(content, request.receive))))
    request.state.form_token = next(iter(texts.get(FIELD, ())), "")
    request.state.typed = {name: tuple(found) for name, found in texts.items()}


async def _refusal(request: Request, error: Exception) -> Response:
    """Return the answer to what is refused: as everywhere, and the way in for whoever has none."""
    stranger = isinstance(error, NotSignedInError)
    if stranger and request.method in SAFE and not is_for_programs(request.url.path):
        return _to_sign_in(request)
    kind = HTTPException if isinstance(error, HTTPException) else ServiceError
    handler = request.app.exception_handlers[kind]
    answer = cast("Response", await handler(request, error))
    if stranger:
        answer.headers["WWW-Authenticate"] = "Bearer"
    return answer
