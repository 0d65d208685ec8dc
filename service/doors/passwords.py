"""Passwords: what is strong enough, and how they are kept (argon2id, RFC 9106)."""

from dataclasses import dataclass
from functools import cached_property
from threading import Semaphore
from typing import Final
from unicodedata import normalize

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from service.errors import UnreadableError

SHORTEST: Final = 12
"""Characters at least (OWASP ASVS 4.0.3, 2.1.1)."""
LONGEST: Final = 128
"""Characters at most (as above, 2.1.2): what is longer only costs time."""
LEAST_SCORE: Final = 3
"""Of zxcvbn's 0 to 4: 3 takes more than a hundred million guesses."""
_LOOKED_AT: Final = 72
"""zxcvbn reads no more; a longer password is judged by its beginning."""
_AT_ONCE: Final = 2
"""Hashes worked out at one time: each takes 19 MiB, and strangers may ask for many."""


def _same(password: str) -> str:
    """Return a password in one form: keyboards differ in how they write é."""
    return normalize("NFKC", password)


@dataclass(frozen=True, slots=True)
class Strength:
    """How strong a password is: zxcvbn's 0 to 4, and what to do where it cannot be taken."""

    score: int
    said: str


def strength(password: str, *about: str) -> Strength:
    """Judge a password: short, very long, or easily guessed.

    Args:
        password: as typed.
        about: words that it must not hang on, such as the account's name.
    """
    text = _same(password)
    if len(text) < SHORTEST:
        said = f"Take at least {SHORTEST} characters; four words in a row are easy to remember."
        return Strength(min(1, len(text)), said)
    if len(text) > LONGEST:
        return Strength(0, f"Take at most {LONGEST} characters.")
    words = [word for word in (*about, "hoodwright", "crochet") if word]
    # Here: its lists take a while to load, and a password is chosen seldom.
    from zxcvbn import zxcvbn  # noqa: PLC0415

    found = zxcvbn(text[:_LOOKED_AT], user_inputs=words)
    said = ""
    if found["score"] < LEAST_SCORE:
        warned = found["feedback"]["warning"].rstrip(".")
        why = f" ({warned})" if warned else ""
        said = f"That is easily guessed{why}. Take four words that do not belong together."
    return Strength(found["score"], said)


def check_strength(password: str, *about: str) -> None:
    """Refuse a password that is not strong enough.

    Raises:
        UnreadableError: saying what to do, with the field `password`.
    """
    said = strength(password, *about).said
    if said:
        raise UnreadableError(said, {"password": said})


class Hasher:
    """Makes and checks hashes; each takes a while and much memory, so that guessing does too."""

    def __init__(self, rounds: int = 2, memory_kib: int = 19_456, lanes: int = 1) -> None:
        """Take the costs.

        Those preset are the least that OWASP's Password Storage Cheat Sheet takes for argon2id.
        RFC 9106's second recommendation costs nine times as much, which on a small machine
        anybody outside could have it pay again and again.
        """
        self._hasher = PasswordHasher(rounds, memory_kib, lanes)
        self._turns = Semaphore(_AT_ONCE)

    @cached_property
    def _nobody(self) -> str:
        """Return a hash for names that there are not, so that they take as long."""
        return self._hasher.hash("nobody")

    def hash(self, password: str) -> str:
        """Return what is kept of a password."""
        with self._turns:
            return self._hasher.hash(_same(password))

    def fits(self, kept: str, password: str) -> bool:
        """Return whether a password is the one kept; where none is kept it takes as long."""
        with self._turns:
            try:
                self._hasher.verify(kept or self._nobody, _same(password))
            except (VerificationError, InvalidHashError):
                return False
        return bool(kept)

    def is_old(self, kept: str) -> bool:
        """Return whether a hash was made at other costs, and should be made anew."""
        return self._hasher.check_needs_rehash(kept)
