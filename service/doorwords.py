"""What can be changed of how somebody comes in, in plain sentences: for pages and for mails."""

from enum import StrEnum
from typing import Final

from service.models import DoorEvent


class Change(StrEnum):
    """A change of how an account is entered."""

    PASSWORD = "password"  # noqa: S105 - the name of a change
    FIRST = "first password"
    BY_LINK = "password by link"
    STRAIGHT = "link used"
    LINK = "link made"
    KEY = "key made"
    KEY_SHUT = "key taken back"
    LET_IN = "account made"
    SHUT = "account removed"
    OUT = "signed out everywhere"
    STEP = "second step on"
    STEP_OFF = "second step off"
    STEP_TRIED = "second step tried"
    RECOVERY = "recovery code used"
    CODES = "recovery codes made"


_SAID: Final = {
    Change.PASSWORD: "The password was changed",
    Change.FIRST: "The first password was chosen",
    Change.BY_LINK: "A one-time link was used, and a password chosen by it",
    Change.STRAIGHT: "A one-time link was used to come in",
    Change.LINK: "A one-time link for a new password was made",
    Change.KEY: "A key for programs was made",
    Change.KEY_SHUT: "A key for programs was taken back",
    Change.LET_IN: "Somebody was let in by a new account",
    Change.SHUT: "An account was removed",
    Change.OUT: "All browsers were signed out",
    Change.STEP: "The second step was switched on",
    Change.STEP_OFF: "The second step was switched off",
    Change.STEP_TRIED: "The right password was given, and wrong codes after it",
    Change.RECOVERY: "A recovery code was used to come in",
    Change.CODES: "New recovery codes were made; the old ones are good for nothing",
}
MACHINE: Final = "on the machine"
"""What a change is about that was made by a command where Hoodwright runs."""


def said(event: DoorEvent, whose: str) -> str:
    """Return a change as a sentence: what, which, and by whom where it was somebody else.

    Args:
        event: the change.
        whose: the name of the account.
    """
    what = _SAID[Change(event.kind)] if event.kind in set(Change) else event.kind
    about = f" {MACHINE}" if event.about == MACHINE else f": “{event.about}”"
    by = f", by {event.by}" if event.by not in {"", whose} else ""
    return f"{what}{about if event.about else ''}{by}."
