"""What open orders take of each dye lot, and what is to buy: values in, values out."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import ceil
from statistics import NormalDist
from typing import Final

from sizing.balls import SURE, dye_lot_advice, percent_text
from sizing.lognormal import Lognormal, quantile_of

_SURE_Z: Final = quantile_of(2 * SURE.value - 1)
_LEAST: Final = 1e-9
"""Parts of a ball that are only the last digits of a float."""
_FAR: Final = 8.0
"""Standard deviations beyond which nothing happens."""
_NEAR: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Lot:
    """A lot on the shelf and the balls left of it."""

    yarn: str
    colour: str
    lot: str
    balls: float


@dataclass(frozen=True, slots=True)
class Need:
    """What one order takes in one colour; an empty colour is the hood's main one.

    Attributes:
        lot: of the main colour, as the order was taken; empty where none was chosen.
        metres: as the order's plan has them.
    """

    number: str
    dog: str
    state: str
    due: date | None
    yarn: str
    colour: str
    lot: str
    metres: Lognormal
    ball_metres: float
    ball_price: Decimal

    @property
    def balls(self) -> float:
        """Return the likely balls, a share of one too."""
        return self.metres.middle / self.ball_metres


@dataclass(frozen=True, slots=True)
class Stand:
    """A lot beside all that is to be made of it.

    Attributes:
        on_shelf: whether the lot lies there at all.
        suffices: the probability that the balls left are enough.
        buy: whole balls to buy so that they are enough with 95 % probability.
        then: the probability with these.
        advice: on dye lots, where there is something to buy.
    """

    yarn: str
    colour: str
    lot: str
    on_shelf: bool
    balls: float
    needs: tuple[Need, ...]
    suffices: float
    buy: int
    then: float
    cost: Decimal
    advice: str

    @property
    def needed(self) -> float:
        """Return the likely balls for all orders."""
        return sum(need.balls for need in self.needs)


def lot_for(need: Need, lots: Iterable[Lot]) -> Lot | None:
    """Return the lot that an order's colour comes from: the fullest of those that can be.

    The main colour comes from the order's lot, or from any lot of its yarn where none was
    chosen; a named colour from a lot of that colour, the order's own lot before others.
    """

    def may(lot: Lot) -> bool:
        if need.colour:
            return lot.colour.casefold() == need.colour.casefold()
        return need.lot in ("", lot.lot)

    mine = [lot for lot in lots if lot.yarn == need.yarn and may(lot)]
    return max(mine, key=lambda lot: (lot.lot == need.lot, lot.balls), default=None)


@dataclass(frozen=True, slots=True)
class Together:
    """The yarn of several hoods.

    One hand and one yarn err in all hoods alike, so that errors do not cancel: each amount
    stands at the same `z`, and they are added there.
    """

    amounts: tuple[Lognormal, ...]

    def at(self, z: float) -> float:
        """Return the metres that lie `z` standard deviations above the middle."""
        return sum(amount.at(z) for amount in self.amounts)

    def below(self, metres: float) -> float:
        """Return the probability of no more than so many metres."""
        low, high = -_FAR, _FAR
        if metres <= self.at(low):
            return 0.0
        while high - low > _NEAR:
            middle = (low + high) / 2
            low, high = (middle, high) if self.at(middle) <= metres else (low, middle)
        return NormalDist().cdf(low)


def _advice(buy: int, then: float, lot: str, balls: float, anew: int) -> str:
    if not buy:
        return ""
    if not balls:
        return dye_lot_advice(buy, then, lot)
    of_lot = f"of lot {lot}, the one you have" if lot else "of the lot you have"
    return (
        f"Buy {buy} {of_lot}: with the {balls:.3g} left they suffice with {percent_text(then)}"
        f" probability. Where that lot is gone, buy {anew} of one new lot for all of it, or"
        " work two rows from the old lot and two from the new in turn, so that no line shows."
    )


def _stand(lot: Lot, needs: tuple[Need, ...], *, on_shelf: bool) -> Stand:
    # Should ball bands differ between orders, the shorter ball decides: rather one too many.
    ball = min(need.ball_metres for need in needs)
    total = Together(tuple(need.metres for need in needs))
    wanted = total.at(_SURE_Z) / ball
    buy = max(ceil(wanted - lot.balls - _LEAST), 0)
    then = total.below((lot.balls + buy) * ball)
    return Stand(
        yarn=lot.yarn,
        colour=lot.colour,
        lot=lot.lot,
        on_shelf=on_shelf,
        balls=lot.balls,
        needs=needs,
        suffices=total.below(lot.balls * ball),
        buy=buy,
        then=then,
        cost=buy * max(need.ball_price for need in needs),
        advice=_advice(buy, then, lot.lot, lot.balls, ceil(wanted - _LEAST)),
    )


def stands_of(needs: Iterable[Need], lots: Sequence[Lot]) -> tuple[Stand, ...]:
    """Return each lot that something is to be made of, by yarn, colour and lot."""
    groups: dict[Lot, list[Need]] = defaultdict(list)
    for need in needs:
        missing = Lot(need.yarn, need.colour, "" if need.colour else need.lot, 0.0)
        groups[lot_for(need, lots) or missing].append(need)
    ordered = sorted(groups, key=lambda lot: (lot.yarn.casefold(), lot.colour, lot.lot))
    known = set(lots)
    return tuple(_stand(lot, tuple(groups[lot]), on_shelf=lot in known) for lot in ordered)
