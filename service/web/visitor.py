"""Who is at the door of this request, once the gate has let them in."""

from contextvars import ContextVar
from dataclasses import dataclass
from typing import Final

from service.doors.roles import Role, Scope

COOKIE: Final = "hoodwright"
SAFE_COOKIE: Final = "__Host-hoodwright"
"""Under https: the prefix lets no other host and no plain page set it (RFC 6265bis)."""
FIELD: Final = "form_token"
"""The hidden field of every form, by which it is known to be from one of our pages."""
WHOSE: Final = "form_whose"
"""The hidden field beside it, by which a form that came too late finds back to its account."""
HEADER: Final = "x-form-token"
"""The same for scripts."""


@dataclass(frozen=True, slots=True)
class Visitor:
    """Somebody who is let in.

    Attributes:
        account_id: whose account it is.
        name: under which what is done is written down.
        role: what they may.
        row_id: the sign-in's, or the key's.
        token: what every form of this sign-in carries; empty for a key.
        mark: what its forms say whose they are by; empty for a key.
        scopes: what the key is good for; None for somebody who has signed in.
        untold: whether there is a change of how they come in that they do not know of.
    """

    account_id: int
    name: str
    role: Role
    row_id: int
    token: str = ""
    mark: str = ""
    scopes: frozenset[Scope] | None = None
    untold: bool = False

    @property
    def is_maker(self) -> bool:
        """Return whether prices and addresses are theirs to see."""
        return self.role is Role.MAKER


CURRENT: Final[ContextVar[Visitor | None]] = ContextVar("visitor", default=None)


def is_maker() -> bool:
    """Return whether prices, buyers and addresses may be shown."""
    here = CURRENT.get()
    return here is not None and here.is_maker


def visitor() -> Visitor | None:
    """Return who this request is let in for, or None on the pages for everybody."""
    return CURRENT.get()
