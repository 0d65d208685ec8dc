"""Who acts: the name of the account for whom a request or a command works.

Kept beside the call and not handed through every use case: what is written down anywhere names
whoever caused it, and no use case can forget to.
"""

from collections.abc import Generator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Final

_NAME: Final[ContextVar[str]] = ContextVar("actor", default="")


def acting() -> str:
    """Return the name of the account that acts; empty for the program itself and strangers."""
    return _NAME.get()


@contextmanager
def acting_as(name: str) -> Generator[None]:
    """Let an account act until the block ends."""
    before = _NAME.set(name)
    try:
        yield
    finally:
        _NAME.reset(before)
