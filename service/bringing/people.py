"""Who and what is known already, asked of the database for many lines at once."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Final, TypeVar

from sqlmodel import Session, col, select

from service.models import Buyer, Dog, Order, RememberedKey

AT_ONCE: Final = 500
Item = TypeVar("Item")
BuyerKey = tuple[str, str]
DogKey = tuple[int, str]


def in_batches(items: Sequence[Item]) -> Iterator[Sequence[Item]]:
    """Yield items in batches that one question to the database can hold."""
    for begin in range(0, len(items), AT_ONCE):
        yield items[begin : begin + AT_ONCE]


def buyers_known(session: Session, keys: Iterable[BuyerKey]) -> dict[BuyerKey, int]:
    """Return the ids of the buyers that are known, by name and e-mail."""
    wanted = set(keys)
    query = select(col(Buyer.id), col(Buyer.name), col(Buyer.email))
    found = session.exec(
        query.where(
            col(Buyer.name).in_({name for name, _ in wanted}), col(Buyer.erased_at).is_(None)
        ).order_by(col(Buyer.id).desc())
    )
    # Of several with the same name and e-mail the first one, as for an order that is taken.
    return {(name, mail): key or 0 for key, name, mail in found if (name, mail) in wanted}


def dogs_known(session: Session, keys: Iterable[DogKey]) -> dict[DogKey, int]:
    """Return the ids of the dogs that are known, by their buyer's id and their name."""
    wanted = set(keys)
    query = select(col(Dog.id), col(Dog.buyer_id), col(Dog.name))
    query = query.where(col(Dog.buyer_id).in_({buyer for buyer, _ in wanted}))
    found = session.exec(query.order_by(col(Dog.id).desc()))
    return {(buyer, name): key or 0 for key, buyer, name in found if (buyer, name) in wanted}


def keys_known(session: Session, keys: Sequence[str]) -> dict[str, tuple[str, str]]:
    """Return the prints and the orders' numbers of the keys that have made orders before."""
    found: dict[str, tuple[str, str]] = {}
    for some in in_batches(keys):
        query = (
            select(col(RememberedKey.key), col(RememberedKey.fingerprint), col(Order.number))
            .join(Order, col(Order.id) == col(RememberedKey.order_id))
            .where(col(RememberedKey.key).in_(some))
        )
        found |= {key: (mark, number) for key, mark, number in session.exec(query)}
    return found
