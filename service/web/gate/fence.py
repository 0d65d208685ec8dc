"""The fence round everything: headers, a line of log, and no fault that shows its inside."""

from time import perf_counter
from typing import Final, cast
from uuid import uuid4

from fastapi import Request, Response
from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.web.requestlog import log_request

NOTHING: Final = "default-src 'none'; frame-ancestors 'none'"
FRAMELESS: Final = "frame-ancestors 'none'"
HEADERS: Final = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "X-Robots-Tag": "noindex, nofollow",
    "Cross-Origin-Opener-Policy": "same-origin",
}
STATIC: Final = "/static/"


def dress(headers: MutableHeaders, path: str) -> None:
    """Put on what an answer has not got by itself."""
    for name, value in HEADERS.items():
        headers.setdefault(name, value)
    # A browser's own viewer of PDFs has styles and scripts of its own.
    pdf = headers.get("content-type", "").startswith("application/pdf")
    headers.setdefault("Content-Security-Policy", FRAMELESS if pdf else NOTHING)
    if not path.startswith(STATIC):
        headers.setdefault("Cache-Control", "no-store")


class Fence:
    """Stands round everything."""

    def __init__(self, app: ASGIApp) -> None:
        """Take what stands inside."""
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, whatever happens inside."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        name, begun, status = uuid4().hex, perf_counter(), 0
        scope["hoodwright.request"] = name

        async def dressed(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
                headers = MutableHeaders(scope=message)
                dress(headers, scope["path"])
                headers["X-Request-Id"] = name
            await send(message)

        try:
            await self._app(scope, receive, dressed)
        except Exception as error:
            if status:  # the answer has begun: all that can be done is to end it
                raise
            request = Request(scope, receive)
            handler = request.app.exception_handlers[Exception]
            answer = cast("Response", await handler(request, error))
            await answer(scope, receive, dressed)
        finally:
            passed = round((perf_counter() - begun) * 1000)
            route = scope.get("hoodwright.route", "")
            log_request(name, scope["method"], route, status, passed)
