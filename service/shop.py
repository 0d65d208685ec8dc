"""The maker's shop and shelf: settings, rates and yarns."""

from sqlmodel import Session, col, select

from service.bodies import ShopIn, YarnIn
from service.errors import NotFoundError, StaleError
from service.models import Shop, Yarn
from service.planning import rates_of, yarn_of

ONLY = 1


def _row(session: Session, *, lock: bool = False) -> Shop:
    row = session.get(Shop, ONLY, with_for_update=lock)
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


def add_yarn(session: Session, yarn: YarnIn) -> Yarn:
    """Put a yarn on the shelf."""
    yarn_of(yarn)
    row = Yarn(name=yarn.name, details=yarn.model_dump(mode="json"))
    session.add(row)
    session.flush()
    return row


def yarns(session: Session) -> list[Yarn]:
    """Return the shelf by name."""
    return list(session.exec(select(Yarn).order_by(col(Yarn.name), col(Yarn.id))))


def yarn_on_shelf(session: Session, yarn_id: int) -> YarnIn:
    """Return one yarn of the shelf.

    Raises:
        NotFoundError: if there is none of that number.
    """
    row = session.get(Yarn, yarn_id)
    if row is None:
        message = "That yarn is not on the shelf. Choose another."
        raise NotFoundError(message)
    return YarnIn.model_validate(row.details)
