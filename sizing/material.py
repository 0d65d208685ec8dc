"""How much yarn: metres, grams and balls, by part and colour, from the stitch counts.

Published figures for the yarn in a stitch disagree by more than half, so without a measured
swatch the interval is wide and says so; `sizing.consumption` has the model.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from math import log, sqrt

from sizing.balls import SURE, BallChoice, balls_at, choices_about, dye_lot_advice, least_balls
from sizing.calibrate import belief_of
from sizing.consumption import Parts, Strands, added, by_part, metres_of, second_way
from sizing.gauge import Gauge, Swatch
from sizing.lognormal import USUAL_Z, WIDE_Z, Lognormal
from sizing.machine import Replay
from sizing.pieces import ENDS, SWATCH_SIDE, Piece, first_colour, pieces_made, swatch_piece
from sizing.shrink import Belief
from sizing.strand import MM_PER_METRE, sc_mm
from sizing.yarns import Yarn

__all__ = ["ENDS", "SWATCH_SIDE", "ColourNeed", "PartNeed", "Spread", "YarnNeed", "yarn_need"]


@dataclass(frozen=True, slots=True)
class Spread:
    """A value with the low and the high end of what can be."""

    low: float
    likely: float
    high: float

    def times(self, factor: float) -> "Spread":
        """Return the spread in another unit."""
        return Spread(self.low * factor, self.likely * factor, self.high * factor)


@dataclass(frozen=True, slots=True)
class PartNeed:
    """Yarn for one part in one colour; the parts' likely values add up to the whole's."""

    part: str
    colour: str
    metres: Spread
    grams: Spread


@dataclass(frozen=True, slots=True)
class ColourNeed:
    """Yarn for one colour; an empty name is the main colour. A kept plan may lack `balls_low`."""

    colour: str
    metres: Spread
    grams: Spread
    balls_likely: int
    balls_to_buy: int
    suffices: float
    balls_low: int = 1


@dataclass(frozen=True, slots=True)
class YarnNeed:
    """Yarn for a hood, and how the figure was made; a plan kept by an older engine lacks some.

    Attributes:
        metres, grams: likely (as often more as less), and the interval that 80 % lie in.
        balls_low, balls_likely: balls for the low end of that interval and its middle, colour by
            colour.
        balls_to_buy: the least number that suffices with 95 % probability, of all colours.
        basis: what it was worked out from.
        metres_95, grams_95: the interval that 95 % lie in.
        suffices: the probability that `balls_to_buy` suffices; in several colours, at least.
        choices: other numbers of balls and their probability; for one colour only.
        parts: by part and colour; colours: by colour, with balls.
        by_area: metres by the second way, from the area of the fabric; 95 % lie in it.
        agree: whether the two ways agree within their uncertainty. If not, a number of the
            swatch or the ball band is likely wrong.
        advice: on dye lots, for the maker.
        model_grams: at factor 1, which a finished hood is compared with.
    """

    metres: Spread
    grams: Spread
    balls_low: int
    balls_likely: int
    balls_to_buy: int
    basis: str
    metres_95: Spread | None = None
    grams_95: Spread | None = None
    suffices: float | None = None
    choices: tuple[BallChoice, ...] = ()
    parts: tuple[PartNeed, ...] = ()
    colours: tuple[ColourNeed, ...] = ()
    by_area: Spread | None = None
    agree: bool | None = None
    advice: str = ""
    model_grams: float | None = None


def _spread(metres: Lognormal, z: float) -> Spread:
    return Spread(metres.at(-z), metres.middle, metres.at(z))


def _parts_need(
    parts: Parts, belief: Belief, whole: Lognormal, per_metre: float
) -> tuple[PartNeed, ...]:
    amounts = {
        key: metres_of(strands, belief) for key, strands in parts.items() if any(strands.values())
    }
    scale = whole.middle / sum([amount.middle for amount in amounts.values()])
    found = []
    for (part, colour), amount in amounts.items():
        metres = _spread(Lognormal(amount.middle * scale, amount.sd), USUAL_Z)
        found.append(PartNeed(part, colour, metres, metres.times(per_metre)))
    return tuple(found)


def _colours_need(
    parts: Parts, belief: Belief, yarn: Yarn, total: Lognormal
) -> tuple[ColourNeed, ...]:
    """Return yarn and balls by colour; the colours together run short as rarely as one."""
    colours: dict[str, list[Strands]] = defaultdict(list)
    for (_, colour), strands in parts.items():
        colours[colour].append(strands)
    short = (1 - SURE.value) / len(colours)
    found = []
    for colour, of_colour in colours.items():
        amount = total if len(colours) == 1 else metres_of(added(of_colour), belief)
        buy = least_balls(amount, yarn.ball_metres, short)
        metres = _spread(amount, USUAL_Z)
        grams = metres.times(yarn.grams_per_metre)
        low, likely = (balls_at(amount, yarn.ball_metres, z) for z in (-USUAL_Z, 0))
        found.append(ColourNeed(colour, metres, grams, likely, buy.balls, buy.suffices, low))
    return tuple(found)


def yarn_need(
    made: Replay,
    yarn: Yarn,
    gauge: Gauge,
    swatch: Swatch | None,
    *,
    pieces: Sequence[Piece] | None = None,
    finished: Belief | None = None,
) -> YarnNeed:
    """Return the yarn for a hood, its swatches included where they are still to make.

    Args:
        made: what the stitch machine made of a plain hood; not read when `pieces` are given.
        yarn: the yarn, the same in every colour.
        gauge: of the hood.
        swatch: the maker's, or None.
        pieces: all pieces of the hood, add-ons too (`sizing.pieces.pieces_of`).
        finished: the factor learned from the maker's finished hoods (`sizing.shrink`).
    """
    whole_hood = pieces_made(made) if pieces is None else tuple(pieces)
    if not gauge.tested:
        whole_hood = (*whole_hood, swatch_piece(gauge, first_colour(whole_hood)))
    belief, basis = belief_of(yarn, gauge, swatch, finished)
    parts = by_part(whole_hood, gauge, sc_mm(gauge, yarn))
    whole = added(parts.values())
    total = metres_of(whole, belief)
    area = second_way(whole_hood, gauge, yarn, whole)
    colours = _colours_need(parts, belief, yarn, total)
    balls = sum(colour.balls_to_buy for colour in colours)
    suffices = 1 - sum(1 - colour.suffices for colour in colours)
    buy = BallChoice(balls, suffices)
    metres, wide, per_metre = _spread(total, USUAL_Z), _spread(total, WIDE_Z), yarn.grams_per_metre
    apart = abs(log(total.middle / area.middle))
    return YarnNeed(
        metres=metres,
        grams=metres.times(per_metre),
        balls_low=sum(colour.balls_low for colour in colours),
        balls_likely=sum(colour.balls_likely for colour in colours),
        balls_to_buy=balls,
        basis=basis,
        metres_95=wide,
        grams_95=wide.times(per_metre),
        suffices=suffices,
        choices=choices_about(total, yarn.ball_metres, buy) if len(colours) == 1 else (),
        parts=_parts_need(parts, belief, total, per_metre),
        colours=colours,
        by_area=_spread(area, WIDE_Z),
        agree=apart <= WIDE_Z * sqrt(total.sd**2 + area.sd**2),
        advice=dye_lot_advice(balls, suffices, yarn.lot, len(colours)),
        model_grams=sum(whole.values()) / MM_PER_METRE.value * per_metre,
    )
