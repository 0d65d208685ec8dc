"""What the doors need while the application runs."""

from dataclasses import dataclass, field

from service.doors.passwords import Hasher
from service.doors.pauses import Tries


@dataclass(frozen=True, slots=True)
class Entrance:
    """For one running application.

    Attributes:
        secure: whether browsers reach it over TLS; cookies then go no other way.
        hasher: how passwords are kept; tests take a cheap one.
        tries: what is remembered of tries to sign in.
    """

    secure: bool = False
    hasher: Hasher = field(default_factory=Hasher)
    tries: Tries = field(default_factory=Tries)
