"""Errors on pages: the same table of statuses as the API's, answered in plain words."""

import re
from collections.abc import Awaitable, Callable
from typing import Any, Final, cast

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException

from service.errors import ServiceError
from service.troubles import TroubleError
from service.web.pages import ownerdoor
from service.web.pages.render import page
from service.web.pages.troublepage import trouble_page
from sizing.errors import SizingError

Handler = Callable[[Request, Any], Awaitable[Response]]

# What is not a page keeps its problem details: programs read it.
MACHINES: Final = ("/api/", "/openapi", "/static/")
HEADINGS: Final = {
    401: "You are signed out",
    403: "That was not done",
    404: "There is nothing here",
    405: "That cannot be done here",
    409: "Not possible just now",
    412: "Changed in the meantime",
    413: "That is too much at once",
    414: "That is too much at once",
    415: "That is not taken here",
    422: "Something cannot be read",
    428: "The page was out of date",
    500: "Something went wrong on our side",
}
_SAID: Final = {
    404: "The address leads nowhere. It may be mistyped, or an old link.",
    405: "This address cannot be used that way. Begin again from the list of orders.",
    500: "Nothing was changed. Please try again.",
}


def _page_of(handler: Handler) -> Handler:
    """Return a handler that answers as another does, but in words on a page."""

    async def answer(request: Request, error: Exception) -> Response:
        told = await handler(request, error)
        if request.url.path.startswith(MACHINES):
            return told
        status = told.status_code
        # A buyer who confirms stands outside too, and must not see the maker's pages.
        outside = isinstance(error, TroubleError) and request.url.path.startswith("/confirm/")
        if outside or ownerdoor.is_outside(request.url.path):
            return _with(told, ownerdoor.fault(request, error, status))
        if isinstance(error, TroubleError):
            return _with(told, trouble_page(request, error, status))
        plain = isinstance(error, HTTPException) and status in _SAID
        own = status >= 500  # noqa: PLR2004 - what a fault says is for the log
        said = _SAID[status] if plain or (own and status in _SAID) else _detail(error)
        heading = HEADINGS.get(status, "That did not work")
        back = _back(request.url.path)
        response = page("fault.html", status, heading=heading, said=said, back=back)
        return _with(told, response)

    return answer


def _with(told: Response, response: Response) -> Response:
    """Return a page with the headers that say when or how to ask again."""
    for name in ("allow", "retry-after"):
        if name in told.headers:
            response.headers[name] = told.headers[name]
    return response


def _back(path: str) -> str:
    """Return the page of the order that a path below it belongs to, or nothing."""
    found = re.fullmatch(r"/orders/([0-9]{4}-[0-9]{4,9})/[a-z]+", path)
    return f"/orders/{found[1]}" if found else ""


def _detail(error: Exception) -> str:
    if isinstance(error, RequestValidationError):
        return "Something in the address cannot be read. Begin again from the list of orders."
    return error.detail if isinstance(error, HTTPException) else str(error)[:600]


def register(app: FastAPI) -> None:
    """Answer the errors of pages as pages; those of the API stay as they are registered."""
    for kind in (ServiceError, SizingError, RequestValidationError, HTTPException, Exception):
        known = cast("Handler", app.exception_handlers[kind])
        app.add_exception_handler(kind, _page_of(known))
