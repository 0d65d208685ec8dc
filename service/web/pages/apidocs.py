"""The API explained on a page of our own: nothing is fetched from anywhere else."""

from dataclasses import dataclass
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse, PlainTextResponse

from service.web.dependencies import ErrandsOf
from service.web.described import description_of
from service.web.pages.render import page
from service.web.parts import page_part

router = page_part()
_METHODS = ("get", "post", "put", "patch", "delete")


@dataclass(frozen=True, slots=True)
class Line:
    """A route of the API: what it does, what it takes and how it may answer."""

    method: str
    path: str
    does: str
    takes: str
    answers: tuple[tuple[str, str], ...]


def _name_of(schema: dict[str, Any]) -> str:
    """Return the name of a schema, or of what it lists."""
    if "$ref" in schema:
        return str(schema["$ref"]).rpartition("/")[2]
    if "items" in schema:
        return f"a list of {_name_of(schema['items']) or 'things'}"
    return ""


def _takes(told: dict[str, Any]) -> str:
    content = told.get("requestBody", {}).get("content", {})
    return next((_name_of(one.get("schema", {})) or "JSON" for one in content.values()), "")


def _lines(document: dict[str, Any]) -> dict[str, list[Line]]:
    """Return the routes by what they are about."""
    groups: dict[str, list[Line]] = {}
    for path, routes in document["paths"].items():
        for method in _METHODS:
            if method not in routes:
                continue
            told = routes[method]
            answers = tuple(
                (status, one["description"]) for status, one in told["responses"].items()
            )
            line = Line(method.upper(), path, told.get("description", ""), _takes(told), answers)
            groups.setdefault(told.get("tags", ["more"])[0], []).append(line)
    return groups


@router.get("/docs")
def docs(request: Request, errands: ErrandsOf) -> HTMLResponse:
    """Show what the API can do."""
    return page("api_docs.html", groups=_lines(description_of(request).document(errands)))


@router.get("/robots.txt")
def robots() -> PlainTextResponse:
    """Ask search engines to stay away: nothing here is for them."""
    return PlainTextResponse("User-agent: *\nDisallow: /\n")
