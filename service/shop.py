"""The maker's shop: settings and rates."""

from typing import Final

from sqlmodel import Session, col, select

from service.bodies import ShopIn
from service.errors import StaleError
from service.models import Shop
from service.planning import rates_of

ONLY = 1


# Built once: nearly every page asks it.
_SHOP: Final = select(Shop).where(col(Shop.id) == ONLY)


def _row(session: Session, *, lock: bool = False) -> Shop:
    row = session.get(Shop, ONLY, with_for_update=True) if lock else session.exec(_SHOP).first()
    if row is None:
        row = Shop(id=ONLY, settings=ShopIn().model_dump(mode="json"), version=0)
    return row


def shop_of(session: Session) -> tuple[ShopIn, int]:
    """Return the shop's settings and their version."""
    row = _row(session)
    return ShopIn.model_validate(row.settings), row.version


def save_shop(session: Session, settings: ShopIn, version: int) -> int:
    """Save the settings made on a version; return the new version.

    Raises:
        StaleError: if they were changed since.
        ValueOutOfRangeError: if the rates give no price.
    """
    rates_of(settings.rates)
    row = _row(session, lock=True)
    if row.version != version:
        message = "The shop's settings were changed meanwhile. Load them again, then change."
        raise StaleError(message)
    row.settings = settings.model_dump(mode="json")
    row.version += 1
    session.add(row)
    session.flush()
    return row.version
