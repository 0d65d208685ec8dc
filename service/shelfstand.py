"""The shelf beside the open orders: what is reserved, what runs short, and what hoods took."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import log
from typing import Any, Final

from sqlalchemy import select as columns
from sqlmodel import Session, col, delete, select

from service.bodies import OrderIn, YarnIn
from service.models import Order, Yarn, YarnLot, YarnUse
from service.planning import yarn_need_again
from service.shelfbodies import NeedOut, ShoppingOut, StandOut
from service.shelfneed import Lot, Need, Stand, lot_for, stands_of
from service.shop import shop_of
from service.states import OPEN, State
from sizing.lognormal import USUAL_Z, Lognormal
from sizing.material import ColourNeed, Spread, YarnNeed

RESERVING: Final = (State.ACCEPTED, State.MAKING)
"""States in which yarn is spoken for: the buyer has said yes, and the balls are still there."""


def _amount(spread: Spread) -> Lognormal:
    return Lognormal(spread.likely, log(spread.high / spread.likely) / USUAL_Z)


def _colours(need: YarnNeed) -> tuple[ColourNeed, ...]:
    """Return the yarn by colour; a plan of the first engine knew one alone."""
    whole = ColourNeed("", need.metres, need.grams, need.balls_likely, need.balls_to_buy, 0)
    return need.colours or (whole,)


@dataclass(frozen=True, slots=True)
class _Asked:
    """Of an order, what its yarn is told by; `yarn` and `need` as they are kept."""

    number: str
    dog: str
    state: str
    due: date | None
    yarn: dict[str, Any]
    need: dict[str, Any]

    def needs(self) -> list[Need]:
        """Return what the order takes, colour by colour."""
        yarn = YarnIn.model_validate(self.yarn)
        return [
            Need(
                number=self.number,
                dog=self.dog,
                state=self.state,
                due=self.due,
                yarn=yarn.name,
                colour=one.colour,
                lot=yarn.lot,
                metres=_amount(one.metres),
                ball_metres=yarn.ball_metres,
                ball_price=yarn.ball_price,
            )
            for one in _colours(yarn_need_again(self.need))
        ]


# Of each order only its yarn is read: whole, those of a full book take as long as a page.
_KEPT_ASKED: Any = col(Order.asked)
_KEPT_PLAN: Any = col(Order.plan)
_ASKED: Final = columns(
    col(Order.number), col(Order.dog_name), col(Order.state), col(Order.due),
    _KEPT_ASKED["yarn"], _KEPT_PLAN["yarn"],
).where(col(Order.planned)).order_by(col(Order.id))  # fmt: skip


def needs_of(order: Order) -> list[Need]:
    """Return what an order's plan takes, colour by colour; nothing while it has no plan."""
    if order.plan is None:
        return []
    yarn, need = order.asked["yarn"], order.plan["yarn"]
    return _Asked(order.number, order.dog_name, order.state, order.due, yarn, need).needs()


def _lots(session: Session) -> list[tuple[YarnLot, Yarn]]:
    query = select(YarnLot, Yarn).join(Yarn, col(Yarn.id) == col(YarnLot.yarn_id))
    return list(session.exec(query.order_by(col(YarnLot.id))))


def _lot(row: YarnLot, yarn: Yarn) -> Lot:
    return Lot(yarn.name, row.colour, row.lot, row.balls)


def stands(session: Session, states: Sequence[State] = RESERVING) -> tuple[Stand, ...]:
    """Return each lot that the orders in some states are to be made of."""
    rows = session.execute(_ASKED.where(col(Order.state).in_(states)))
    needs = [need for row in rows for need in _Asked(*row).needs()]
    return stands_of(needs, [_lot(*pair) for pair in _lots(session)])


def stand_out(stand: Stand) -> StandOut:
    """Return a lot beside its orders for the wire."""
    names = ("yarn", "colour", "lot", "on_shelf", "balls", "needed")
    more = ("suffices", "buy", "then", "cost", "advice")
    orders = [NeedOut.model_validate(need) for need in stand.needs]
    return StandOut(**{name: getattr(stand, name) for name in (*names, *more)}, orders=orders)


def shopping(session: Session, *, asked: bool = False) -> ShoppingOut:
    """Return what to buy for the orders that were accepted; with those asked for too, if so."""
    found = stands(session, OPEN if asked else RESERVING)
    return ShoppingOut(
        currency=shop_of(session)[0].rates.currency,
        cost=sum((stand.cost for stand in found), Decimal(0)),
        lots=[stand_out(stand) for stand in found],
    )


def _locked(session: Session, row: YarnLot, yarn: Yarn) -> tuple[YarnLot, Yarn]:
    """Return a lot and its yarn as they are now; who changes a lot holds its yarn."""
    session.refresh(yarn, with_for_update=True)
    session.refresh(row)
    return row, yarn


def _row_for(session: Session, need: Need) -> tuple[YarnLot, Yarn] | None:
    """Return the lot that an order's colour comes from, locked."""
    pairs = _lots(session)
    found = lot_for(need, [_lot(*pair) for pair in pairs])
    for row, yarn in pairs:
        if found == _lot(row, yarn):
            return _locked(session, row, yarn)
    return None


def _add(session: Session, pair: tuple[YarnLot, Yarn], balls: float) -> float:
    """Put balls on a lot, or take some off; return how many that were: none is below nothing."""
    row, yarn = pair
    before = row.balls
    row.balls = max(round(before + balls, 3), 0.0)
    yarn.version += 1
    session.add_all([row, yarn])
    session.flush()
    return row.balls - before


def _uses(session: Session, order: Order) -> list[YarnUse]:
    return list(session.exec(select(YarnUse).where(col(YarnUse.order_id) == order.id)))


def _take_off(session: Session, order: Order) -> None:
    for need in needs_of(order):
        pair = _row_for(session, need)
        if pair is None:
            continue
        row, yarn = pair
        taken = -_add(session, pair, -need.balls)
        session.add(
            YarnUse(
                order_id=order.id or 0,
                yarn=yarn.name,
                colour=row.colour,
                lot=row.lot,
                balls=taken,
            )
        )


def _pair_of(session: Session, use: YarnUse) -> tuple[YarnLot, Yarn] | None:
    """Return the lot that a hood was made of, if it still lies on the shelf."""
    for row, yarn in _lots(session):
        if (yarn.name, row.colour, row.lot) == (use.yarn, use.colour, use.lot):
            return _locked(session, row, yarn)
    return None


def _give_back(session: Session, order: Order) -> None:
    for use in _uses(session, order):
        if pair := _pair_of(session, use):
            _add(session, pair, use.balls)
    session.exec(delete(YarnUse).where(col(YarnUse.order_id) == order.id))


def moved(session: Session, order: Order, old: State) -> None:
    """Take a finished hood's likely yarn off the shelf; give it back if it is not finished."""
    way = (old, State(order.state))
    if way == (State.MAKING, State.FINISHED):
        _take_off(session, order)
    elif way == (State.FINISHED, State.MAKING):
        _give_back(session, order)


def weighed(session: Session, order: Order, grams: float) -> None:
    """Put right what a hood took off the shelf, now that the scale has told it."""
    uses = _uses(session, order)
    booked = sum(use.balls for use in uses)
    if not booked:
        return
    factor = grams / OrderIn.model_validate(order.asked).yarn.ball_grams / booked
    for use in uses:
        if pair := _pair_of(session, use):
            use.balls -= _add(session, pair, use.balls * (1 - factor))
            session.add(use)
