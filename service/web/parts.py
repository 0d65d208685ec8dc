"""Parts of the application: routers that are told once what stands before their routes.

A router that another one includes has each of its routes worked out anew for it, for most of a
start. So a part knows its whole address, and the application takes its routes as they are.
"""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Final, Protocol

from fastapi import APIRouter, FastAPI

from service.web.problems import documented

if TYPE_CHECKING:
    from enum import Enum

API: Final = "/api/v1"
# Whatever is asked: by nobody we know, or with a key that is not good for it; too much at once, or
# too slowly; and the database may be out of reach, and its disk full.
_ANYWHERE: Final = documented(401, 403, 408, 413, 414, 415, 503, 507)


class Part(Protocol):
    """A module with a router of its own."""

    router: APIRouter


def api_part(tag: str, prefix: str = "") -> APIRouter:
    """Return the router of a part of the API, under its address and in the chapter of a tag."""
    tags: list[str | Enum] = [tag]
    return APIRouter(prefix=API + prefix, tags=tags, responses=_ANYWHERE)


def page_part(prefix: str = "") -> APIRouter:
    """Return the router of pages under an address; the API's description leaves them out."""
    return APIRouter(prefix=prefix, include_in_schema=False)


def take_in(app: FastAPI, parts: Iterable[Part]) -> None:
    """Have an application answer the routes of parts, tried in their order."""
    for part in parts:
        app.router.routes.extend(part.router.routes)
