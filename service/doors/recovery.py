"""Recovery codes: ten for whoever has lost the device of the second step, each good once.

Kept are digests: a code has 80 bits of chance, so that a digest cannot be tried through.
"""

import re
import secrets
from datetime import datetime
from typing import Final

from sqlmodel import Session, col, delete, select

from service.links import digest
from service.models import RecoveryCode

MANY: Final = 10
LETTERS: Final = "abcdefghjkmnpqrstuvwxyz023456789"
"""32, of which none looks like another: no i, l, o or 1; an o that is typed is a nought."""
GROUPS: Final = 4
GROUP: Final = 4
"""Four groups of four letters: 80 bits."""


def _new() -> str:
    letters = (secrets.choice(LETTERS) for _ in range(GROUPS * GROUP))
    return "".join(letters)


def _shown(code: str) -> str:
    return "-".join(code[place : place + GROUP] for place in range(0, len(code), GROUP))


def _digest(account_id: int, code: str) -> str:
    return digest(f"recovery {account_id} {code}")


def new_codes(session: Session, account_id: int, now: datetime) -> list[str]:
    """Make new recovery codes in the place of the old ones, and return them."""
    forget(session, account_id)
    codes = [_new() for _ in range(MANY)]
    for code in codes:
        row = RecoveryCode(account_id=account_id, code_hash=_digest(account_id, code), made_at=now)
        session.add(row)
    session.flush()
    return [_shown(code) for code in codes]


def forget(session: Session, account_id: int) -> None:
    """Let no recovery code of an account open anything any more."""
    session.exec(delete(RecoveryCode).where(col(RecoveryCode.account_id) == account_id))


def use(session: Session, account_id: int, typed: str, now: datetime) -> bool:
    """Use up a recovery code as it was typed; return whether it was one."""
    code = re.sub(r"[\s-]", "", typed).lower().replace("o", "0")
    query = select(RecoveryCode).where(
        col(RecoveryCode.account_id) == account_id,
        col(RecoveryCode.code_hash) == _digest(account_id, code),
        col(RecoveryCode.used_at).is_(None),
    )
    row = session.exec(query.with_for_update()).first()
    if row is None:
        return False
    row.used_at = now
    session.add(row)
    return True


def left(session: Session, account_id: int) -> int:
    """Return how many recovery codes of an account are still good."""
    query = select(col(RecoveryCode.id)).where(
        col(RecoveryCode.account_id) == account_id, col(RecoveryCode.used_at).is_(None)
    )
    return len(session.scalars(query).all())
