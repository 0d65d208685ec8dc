"""When a form was given out, signed: who sends it back at once is no person who typed it."""

import hashlib
import hmac
import re
from datetime import datetime
from secrets import token_urlsafe
from typing import Final

LEAST_SECONDS: Final = 3
MOST_SECONDS: Final = 24 * 60 * 60
_SHAPE: Final = re.compile(r"([0-9]{1,12})\.([A-Za-z0-9_-]{22})\.([0-9a-f]{64})")


def _sign(key: bytes, what: str) -> str:
    return hmac.new(key, what.encode(), hashlib.sha256).hexdigest()


def stamp(key: bytes, now: datetime) -> str:
    """Return a new stamp: the moment, a number of its own, and their signature."""
    what = f"{int(now.timestamp())}.{token_urlsafe(16)}"
    return f"{what}.{_sign(key, what)}"


def is_fair(key: bytes, text: str, now: datetime) -> bool:
    """Return whether a form with this stamp was given out here, and long enough ago to be read."""
    found = _SHAPE.fullmatch(text)
    if not found or not hmac.compare_digest(found[3], _sign(key, f"{found[1]}.{found[2]}")):
        return False
    return LEAST_SECONDS <= now.timestamp() - int(found[1]) <= MOST_SECONDS


def name_of(text: str) -> str:
    """Return the number of a stamp that is fair: the same form sent twice has the same."""
    return text.split(".")[1]
