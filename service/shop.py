"""The maker's shop: settings and rates."""

from typing import Final

from sqlalchemy import select
from sqlmodel import Session

from service.bodies import ShopIn
from service.errors import StaleError
from service.models import Shop, columns_of
from service.planning import rates_of

ONLY = 1


_SHOP = columns_of(Shop)
# Built once, and without the ORM: nearly every page asks it.
_SETTINGS: Final = select(_SHOP.settings, _SHOP.version).where(_SHOP.id == ONLY)


def shop_of(session: Session) -> tuple[ShopIn, int]:
    """Return the shop's settings and their version."""
    settings, version = session.execute(_SETTINGS).first() or ({}, 0)
    return ShopIn.model_validate(settings), version


def save_shop(session: Session, settings: ShopIn, version: int) -> int:
    """Save the settings made on a version; return the new version.

    Raises:
        StaleError: if they were changed since.
        ValueOutOfRangeError: if the rates give no price.
    """
    rates_of(settings.rates)
    row = session.get(Shop, ONLY, with_for_update=True) or Shop(id=ONLY, settings={}, version=0)
    if row.version != version:
        message = "The shop's settings were changed meanwhile. Load them again, then change."
        raise StaleError(message)
    row.settings = settings.model_dump(mode="json")
    row.version += 1
    session.add(row)
    session.flush()
    return row.version
