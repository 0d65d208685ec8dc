"""Whether a browser says that a request is from a page of ours."""

from typing import Final
from urllib.parse import urlsplit

from fastapi import Request

FOREIGN: Final = "This form was sent from another site, so nothing was done."


def origin_of(request: Request) -> bool | None:
    """Return whether a request is from a page of ours; None where the browser does not say."""
    site = request.headers.get("sec-fetch-site")
    if site is not None:
        return site in {"same-origin", "none"}
    origin = request.headers.get("origin")
    if origin is not None:
        return urlsplit(origin).netloc == request.headers.get("host")
    return None
