"""How a hood is made, in words, for the order's page."""

from typing import Final

from service.bodies import OrderIn
from service.web.pages.words import COLLARS, EDGINGS, SHAPES, capital
from service.wishbodies import AddOnIn, CollarWish, StripeIn
from sizing.style import Hand, Turning

Line = tuple[str, str]
_COLLARS: Final = dict(COLLARS)
_EDGINGS: Final = dict(EDGINGS)
_SHAPES: Final = dict(SHAPES)


def _stripes(stripes: list[StripeIn]) -> str:
    return ", ".join(f"{one.colour} {one.rows}" for one in stripes)


def _shape(one: AddOnIn) -> str:
    size = f"{one.across} by {one.long}" if one.long else f"{one.across} across"
    colour = f", {one.colour}" if one.colour else ""
    times = "once" if one.copies == 1 else f"{one.copies} times"
    return f"{_SHAPES[one.shape.value]}, {times}, {size}{colour}"


def made_lines(asked: OrderIn) -> tuple[Line, ...]:
    """Return what is special about the hood of an order; nothing for the plain one."""
    wishes = asked.wishes
    lines: list[Line] = []
    if wishes.collar is not CollarWish.JOINED:
        lines.append(("Collar", _COLLARS[wishes.collar.value]))
    if wishes.ears:
        ears = f"{wishes.ears.base} wide, {wishes.ears.from_centre} from the middle"
        lines.append(("Ear openings", ears))
    if wishes.stripes:
        lines.append(("Collar stripes", _stripes(wishes.stripes.collar)))
        lines.append(("Hood stripes", _stripes(wishes.stripes.hood)))
    if wishes.edging:
        lines.append(("Edging", _EDGINGS[wishes.edging.value]))
    lines += [("Sewn on", _shape(one)) for one in wishes.add_ons]
    if wishes.turning_chain is not Turning.NONE:
        lines.append(("After each turn", "chain 1"))
    if wishes.hand is Hand.LEFT:
        lines.append(("Hook", f"in the {wishes.hand.value} hand"))
    return tuple((capital(name), said) for name, said in lines)
