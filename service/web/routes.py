"""The template of the route that a request took: what may be told of an address.

An address may hold the secret of an owner's link, or an order's number. Its template does not.
"""

from typing import Final

from starlette.types import Scope

NO_ROUTE: Final = "none"


def template(scope: Scope) -> str:
    """Return the template of a request's route, once it has been served."""
    path, route = str(scope["path"]), scope.get("route")
    if route is None:
        return "/static/{file}" if path.startswith("/static/") else NO_ROUTE
    return str(route.path)
