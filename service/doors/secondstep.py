"""A second step at sign-in: one-time codes by time (RFC 6238, on RFC 4226).

By SHA-1 and with six digits, as every app for such codes knows them. The key must be kept as it
is, for codes are made from it: whoever reads the database can make them too, and still has no
password. A code is good once (RFC 6238, section 5.2), and for one step of time before and after
its own, for clocks that differ.
"""

import re
from datetime import datetime, timedelta
from enum import StrEnum
from hmac import compare_digest
from typing import TYPE_CHECKING, Final

from sqlmodel import Session, col, delete, select

from service.doors import recovery
from service.errors import NotAllowedError, UnreadableError
from service.models import Account, SecondStep

if TYPE_CHECKING:
    from pyotp import TOTP

ISSUER: Final = "Hoodwright"
DIGITS: Final = 6
SECONDS: Final = 30
"""A step of time, as RFC 6238 recommends (section 5.2)."""
DRIFT: Final = 1
"""Steps before and after that are taken too: RFC 6238 recommends one at most (section 5.2)."""
BEGUN: Final = timedelta(hours=1)
"""How long a key that was shown waits for its first code."""
WRONG: Final = "That code is not right, or was used before. Wait for the next one, and type that."
LATE: Final = "That took too long. Begin once more: the app needs the new key then."
_CODE: Final = re.compile(r"[0-9]{6}")


class Given(StrEnum):
    """What opened the second step."""

    CODE = "code"
    RECOVERY = "recovery code"


def _maker(secret: str) -> "TOTP":
    # Here: a start does without it.
    from pyotp import TOTP  # noqa: PLC0415

    return TOTP(secret, digits=DIGITS, interval=SECONDS)


def code_at(secret: str, moment: datetime) -> str:
    """Return the code of a key, in base32, at a moment."""
    return _maker(secret).at(moment)


def address_of(secret: str, name: str) -> str:
    """Return what the picture of a key says, as apps read it."""
    return _maker(secret).provisioning_uri(name=name, issuer_name=ISSUER)


def _step_of_code(row: SecondStep, typed: str, now: datetime) -> int | None:
    """Return the step of time that a code is of, if none as late was used before."""
    code = re.sub(r"[\s-]", "", typed)
    if not _CODE.fullmatch(code):
        return None
    maker = _maker(row.secret)
    step = maker.timecode(now)
    for one in range(step - DRIFT, step + DRIFT + 1):
        right = compare_digest(maker.generate_otp(one), code) if one >= 0 else False
        if right and one > row.last_step:
            return one
    return None


def _row(session: Session, account_id: int, *, lock: bool = False) -> SecondStep | None:
    query = select(SecondStep).where(col(SecondStep.account_id) == account_id)
    return session.exec(query.with_for_update() if lock else query).first()


def on_since(session: Session, account_id: int) -> datetime | None:
    """Return since when an account is asked for a code, or None."""
    row = _row(session, account_id)
    return row.on_at if row else None


def is_on(session: Session, account_id: int) -> bool:
    """Return whether an account is asked for a code."""
    return on_since(session, account_id) is not None


def begin(session: Session, account: Account, now: datetime) -> str:
    """Make a key and return it; it is asked for only once its first code was typed.

    Raises:
        NotAllowedError: if the second step is on.
    """
    from pyotp import random_base32  # noqa: PLC0415 - as above

    whose = account.id or 0
    row = _row(session, whose, lock=True)
    if row and row.on_at:
        raise NotAllowedError("The second step is on already. Switch it off to take a new key.")
    row = row or SecondStep(account_id=whose, secret="", made_at=now)
    row.secret, row.made_at, row.last_step = random_base32(), now, 0
    session.add(row)
    session.flush()
    return row.secret


def begun(session: Session, account_id: int, now: datetime) -> str:
    """Return the key that waits for its first code.

    Raises:
        NotAllowedError: if none does, or no longer.
    """
    row = _row(session, account_id)
    if row is None or row.on_at or now - row.made_at >= BEGUN:
        raise NotAllowedError(LATE)
    return row.secret


def switch_on(session: Session, account_id: int, typed: str, now: datetime) -> list[str]:
    """Ask for codes from now on; return the recovery codes, which are shown this once.

    Raises:
        NotAllowedError: if no key waits for its first code.
        UnreadableError: if the code is not right, with the field `code`.
    """
    begun(session, account_id, now)
    row = _row(session, account_id, lock=True)
    step = _step_of_code(row, typed, now) if row and not row.on_at else None
    if row is None or step is None:
        raise UnreadableError(WRONG, {"code": WRONG})
    row.on_at, row.last_step = now, step
    session.add(row)
    return recovery.new_codes(session, account_id, now)


def switch_off(session: Session, account_id: int) -> bool:
    """Ask for codes no more, and forget the key; return whether it was on."""
    was_on = is_on(session, account_id)
    recovery.forget(session, account_id)
    session.exec(delete(SecondStep).where(col(SecondStep.account_id) == account_id))
    return was_on


def given(session: Session, account_id: int, typed: str, now: datetime) -> Given | None:
    """Use up a code, or a recovery code, that was typed at sign-in; return which, or None."""
    row = _row(session, account_id, lock=True)
    if row is None or row.on_at is None:
        return None
    step = _step_of_code(row, typed, now)
    if step is not None:
        row.last_step = step
        session.add(row)
        return Given.CODE
    return Given.RECOVERY if recovery.use(session, account_id, typed, now) else None
