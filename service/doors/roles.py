"""What an account may be, and what a key may be good for."""

from enum import StrEnum


class Role(StrEnum):
    """Who somebody is in the shop."""

    MAKER = "maker"
    HELPER = "helper"


class Scope(StrEnum):
    """What a program may do with a key."""

    READ = "read"
    WRITE = "write"
    PAPERS = "papers"


class Purpose(StrEnum):
    """What a one-time code opens."""

    FIRST = "first"
    PASSWORD = "password"  # noqa: S105 - the name of a purpose
    STRAIGHT = "straight"
    STEP = "second step"
