"""The page for a database out of reach: what to do, and what was typed, ready to be sent again."""

from typing import Final

from fastapi import Request
from fastapi.responses import HTMLResponse

from service.troubles import TroubleError
from service.web.pages.render import page, token_field

SECRET: Final = ("password", "secret", "token")
"""Parts of the names of fields that are never shown again."""
HEADINGS: Final = {
    "disk-full": "The disk is full",
    "disk-fails": "The disk does not take it",
    "read-only": "The database cannot be written",
    "database-gone": "The database does not answer",
    "busy": "The database is busy",
    "database-damaged": "The database is damaged",
}


def typed_again(request: Request) -> list[tuple[str, str]] | None:
    """Return the fields of the form that was sent, in their order, or None if none was."""
    typed = getattr(request.state, "typed", None)
    if typed is None:
        return None
    pairs = [
        (name, text)
        for name, texts in typed.items()
        for text in ((texts,) if isinstance(texts, str) else texts)
    ]
    return [(n, text) for n, text in pairs if not any(part in n.lower() for part in SECRET)]


def trouble_page(request: Request, error: TroubleError, status: int) -> HTMLResponse:
    """Return the page; a form that was sent stands on it and can be sent again as it is."""
    again = typed_again(request)
    carried = getattr(request.state, "form_token", "")
    query = f"?{request.url.query}" if request.url.query else ""
    return page(
        "trouble.html",
        status,
        heading=HEADINGS[error.code],
        said=error.said,
        unsure=error.unsure,
        again=again,
        carried=token_field(carried) if carried else "",
        address=f"{request.url.path}{query}",
    )
