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
    # A route of an included router knows its own part alone; what stands before it has no
    # parameters. Whatever does not end in that part is told by the part only.
    own = str(route.path)
    try:
        ending = own.format_map(scope["path_params"])
    except (KeyError, ValueError):
        return own
    return path.removesuffix(ending) + own if path.endswith(ending) else own
