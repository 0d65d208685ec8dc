"""The log: one line for each request and each fault, as JSON, and nothing of anybody in it.

No address (it may hold a secret), no name, no body, no key; of a fault its kind and where in our
code it was raised, not what it says, for that may quote what somebody typed.
"""

import logging
from logging.handlers import RotatingFileHandler
from pathlib import Path
from typing import Any, Final

import structlog

from service.faultlog import where

NAME: Final = "hoodwright.requests"
_LARGEST: Final = 1_000_000
_KEPT: Final = 3
_plain = logging.getLogger(NAME)
_plain.propagate = False
_plain.setLevel(logging.INFO)
_plain.addHandler(logging.NullHandler())
_log = structlog.wrap_logger(
    _plain,
    processors=[
        structlog.processors.TimeStamper(fmt="iso", utc=True),
        structlog.stdlib.add_log_level,
        structlog.processors.JSONRenderer(),
    ],
).bind()  # once: else each line begins with it


def write_to(path: Path) -> None:
    """Write the log to a file from now on; when it is large it begins anew, three times."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handler = RotatingFileHandler(path, maxBytes=_LARGEST, backupCount=_KEPT, encoding="utf-8")
    handler.setFormatter(logging.Formatter("%(message)s"))
    _plain.addHandler(handler)


def log_request(name: str, method: str, route: str, status: int, milliseconds: int) -> None:
    """Write the line of a request; `route` is the path with its places, never what fills them."""
    _log.info("request", id=name, method=method, route=route, status=status, ms=milliseconds)


def log_fault(name: str, error: BaseException) -> None:
    """Write what kind of fault it was, and where."""
    more: dict[str, Any] = {}
    if error.__cause__ is not None:
        more["cause"] = type(error.__cause__).__qualname__
    _log.error("fault", id=name, kind=type(error).__qualname__, where=where(error), **more)
