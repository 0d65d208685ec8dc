"""From a request to the line of the table that it falls under."""

import re
from dataclasses import dataclass
from typing import Final

from fastapi import FastAPI
from fastapi.routing import iter_route_contexts
from starlette.routing import compile_path
from starlette.types import Scope

from service.web.gate.table import TABLE, Who
from service.web.pages.ownerdoor import is_outside

EVERY: Final = "*"


@dataclass(frozen=True, slots=True)
class _Route:
    path: str
    shape: re.Pattern[str]
    methods: frozenset[str]

    def takes(self, scope: Scope) -> bool:
        return EVERY in self.methods or scope["method"] in self.methods


@dataclass(frozen=True, slots=True)
class Way:
    """What a request falls under.

    Attributes:
        line: the method and the route's path; empty where no route takes the request.
        path: the route's path, for the log; never the address itself, which may be secret.
        who: who may use it; None for a route that the table does not have.
    """

    line: str
    path: str
    who: Who | None


NOWHERE: Final = Way("", "", Who.HELPER)
"""No route: whoever is signed in is told that there is nothing, others not even that."""
OUTSIDE: Final = Way("", "", Who.ANYONE)
"""No route, where strangers may come: what is said there is the same for all that is not."""


def routes_of(app: FastAPI) -> list[_Route]:
    """Return the routes in the order in which the application tries them."""
    found = []
    for context in iter_route_contexts(app.routes):
        path = str(context.path)
        methods = frozenset(context.methods or {EVERY})
        under = "/{path:path}" if EVERY in methods else ""
        found.append(_Route(path, compile_path(path + under)[0], methods))
    return found


def lines_of(app: FastAPI) -> list[str]:
    """Return every method of every route, as the table writes them."""
    return [f"{one} {route.path}" for route in routes_of(app) for one in sorted(route.methods)]


class Ways:
    """The routes of one application, read when the first request comes."""

    def __init__(self) -> None:
        """Begin without."""
        self._routes: list[_Route] | None = None

    def find(self, app: FastAPI, scope: Scope) -> Way:
        """Return what a request falls under: the first route that takes it, as in the routing."""
        if self._routes is None:
            self._routes = routes_of(app)
        for route in self._routes:
            if route.takes(scope) and route.shape.match(scope["path"]):
                method = EVERY if EVERY in route.methods else scope["method"]
                line = f"{method} {route.path}"
                return Way(line, route.path, TABLE.get(line))
        return OUTSIDE if is_outside(scope["path"]) else NOWHERE
