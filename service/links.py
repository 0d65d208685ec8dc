"""Links whose secret only their holder has: kept here is a digest, which opens nothing."""

import hashlib
import re
import secrets
from typing import Final

BYTES: Final = 16
"""128 bits of chance."""
_SHAPE: Final = re.compile(r"[A-Za-z0-9_-]{22}")


def new_secret() -> str:
    """Return a new secret, fit for an address."""
    return secrets.token_urlsafe(BYTES)


def long_secret() -> str:
    """Return a new secret for a cookie or a header, of 256 bits of chance."""
    return secrets.token_urlsafe(2 * BYTES)


def digest(secret: str) -> str:
    """Return what is kept of a secret."""
    return hashlib.sha256(secret.encode()).hexdigest()


def digest_of(text: str) -> str | None:
    """Return the digest of a text that looks like a secret of ours, or None."""
    return digest(text) if _SHAPE.fullmatch(text) else None
