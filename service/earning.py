"""What a price leaves the maker for an hour of an order's work."""

from decimal import Decimal

from service.bodies import RatesIn
from service.errors import NoPlanError
from service.orders import Found
from service.planbodies import Out
from service.planning import earned_at


class EarningOut(Out):
    """What the buyer pays, and what it leaves the maker by the hour: wage and profit together."""

    paid: Decimal
    per_hour: Decimal
    currency: str


def earning(found: Found, paid: Decimal | None = None) -> EarningOut:
    """Return what a price of an order, or its own, earns by the hour.

    Args:
        found: the order.
        paid: what the buyer pays, tax included; None for the order's price.

    Raises:
        NoPlanError: if a finding still stops the plan.
    """
    plan = found.plan
    if plan is None:
        message = "There is no price yet: settle the number that stops the plan first."
        raise NoPlanError(message)
    price = plan.price.total if paid is None else paid
    rates = RatesIn.model_validate(found.order.rates)
    per_hour = earned_at(plan, found.asked, rates, price)
    return EarningOut(paid=price, per_hour=per_hour, currency=plan.price.currency)
