"""Templates to answers: one environment, and the headers that every page carries."""

from datetime import date, datetime
from functools import cache
from typing import Final

from babel import Locale
from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from documents.figures import date_text, minutes_text, moment_text
from service.web.files import own_address
from service.web.pages.words import capital
from service.web.visitor import FIELD, WHOSE, visitor

HEADERS: Final = {
    # Nothing but our own files, and no script or style inside a page: typed text stays text.
    "Content-Security-Policy": (
        "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self';"
        " connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    # What a page shows is somebody's: no cache keeps it for whoever sits here next.
    "Cache-Control": "no-store",
}


def _day(moment: date | datetime) -> str:
    return date_text(moment)


def _tongue(code: str) -> str:
    """Return the English name of a language."""
    return Locale.parse(code, sep="-").get_language_name("en") or code


def token_field(token: str, mark: str = "") -> Markup:
    """Return the hidden fields that every form of a signed-in page carries."""
    field = Markup('<input type="hidden" name="{}" value="{}">')
    return field.format(FIELD, token) + (field.format(WHOSE, mark) if mark else Markup(""))


def _token() -> Markup:
    here = visitor()
    return token_field(here.token, here.mark) if here else token_field("")


@cache
def environment() -> Environment:
    """Return the templates' environment; all text is escaped."""
    made = Environment(
        loader=PackageLoader("service.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,  # else each page looks at the files of all its templates
    )
    made.filters.update(
        day=_day, moment=moment_text, minutes=minutes_text, capital=capital, tongue=_tongue
    )
    made.globals.update(file_at=own_address, visitor=visitor, token=_token)
    return made


def page(template: str, status: int = 200, **context: object) -> HTMLResponse:
    """Return a template, filled in, as the answer."""
    html = environment().get_template(template).render(**context)
    return HTMLResponse(html, status_code=status, headers=HEADERS)


def again(ready: bytes) -> HTMLResponse:
    """Return a page that was rendered before as the answer."""
    return HTMLResponse(ready, headers=HEADERS)
