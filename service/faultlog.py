"""What a log may say of an error: its kind and where it was raised.

Not what it says: that may quote an address that was typed, or a mail server's answer that does.
"""

import logging
from traceback import extract_tb
from typing import Final

_log: Final = logging.getLogger("hoodwright")


def where(error: BaseException) -> list[str]:
    """Return the lines of code that an error came through, the outermost first."""
    frames = extract_tb(error.__traceback__)
    return [f"{one.filename}:{one.lineno} {one.name}" for one in frames]


def tell_unexpected(what: str, error: BaseException) -> None:
    """Write into the log of what is done beside requests that something nobody thought of came."""
    kind, cause = type(error).__qualname__, error.__cause__
    caused = f" by {type(cause).__qualname__}" if cause else ""
    _log.error("%s: %s%s at %s", what, kind, caused, "; ".join(where(error)))
