"""Buyers on the wire."""

from datetime import datetime

from service.planbodies import Out


class BuyerOut(Out):
    """A buyer: how many orders, and when the latest was changed; `erased_at` once erased."""

    id: int
    name: str
    email: str
    orders: int
    latest: datetime | None
    erased_at: datetime | None


class BuyersOut(Out):
    """Buyers by number; `after` is where to go on, or null at the end."""

    buyers: list[BuyerOut]
    after: int | None


class ErasedOut(Out):
    """The numbers of the orders whose person was erased."""

    orders: list[str]


class ErasedOldOut(Out):
    """How many buyers were erased because nothing was heard of them for long."""

    buyers: int
