"""Templates to answers: one environment, and the headers that every page carries."""

from collections.abc import MutableMapping
from datetime import date, datetime
from threading import RLock
from typing import Any, Final

from babel import Locale
from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined, Template
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


class Once(PackageLoader):
    """Reads each template once, however many pages first ask for it together."""

    def __init__(self, package: str) -> None:
        """Have read none yet."""
        super().__init__(package)
        self._one, self._read = RLock(), dict[str, Template]()

    def load(
        self,
        environment: Environment,
        name: str,
        globals: MutableMapping[str, Any] | None = None,  # noqa: A002 - its name there
    ) -> Template:
        """Return a template, which has no globals but the environment's."""
        with self._one:
            if name not in self._read:
                self._read[name] = super().load(environment, name, globals)
            return self._read[name]


def _environment() -> Environment:
    made = Environment(
        loader=Once("service.web"),
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


_ENVIRONMENT: Final = _environment()


def environment() -> Environment:
    """Return the templates' environment; all text is escaped."""
    return _ENVIRONMENT


def page(template: str, status: int = 200, **context: object) -> HTMLResponse:
    """Return a template, filled in, as the answer."""
    html = environment().get_template(template).render(**context)
    return HTMLResponse(html, status_code=status, headers=HEADERS)


def again(ready: bytes) -> HTMLResponse:
    """Return a page that was rendered before as the answer."""
    return HTMLResponse(ready, headers=HEADERS)
