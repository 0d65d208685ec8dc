"""A collar that opens: an overlap of some rows with buttonholes, no seam.

The strip is worked on for the rows of the overlap, which lap over the first rows. In one row
of the overlap chains are made over skipped stitches; the next row works into them.
"""

from dataclasses import dataclass
from math import ceil
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evenly import shares
from sizing.evidence import Fact, derived, practice
from sizing.gauge import Gauge

BUTTON: Final = Fact(
    15.0, "mm", derived("judgement: half the least overlap, so that it lies well within")
)
OVERLAP: Final = Fact(
    30.0, "mm", derived("judgement: a button of 15 mm with half its width each side")
)
BUTTON_EVERY: Final = Fact(
    30.0, "mm of collar height", derived("judgement: two buttons from 6 cm")
)
HOLE_SHARE: Final = Fact(
    0.8, "of the button", practice("a crocheted hole gives, so it is made smaller")
)
LEAST_OVERLAP: Final = Fact(
    4, "rows", derived("one row, the buttonholes, the row that fills them, one row")
)
LEAST_BUTTON: Final = Fact(10.0, "mm", practice("smaller ones slip out of a crocheted hole"))
MOST_BUTTON: Final = Fact(60.0, "mm", practice("larger ones are not sold for clothes"))


@dataclass(frozen=True, slots=True)
class Buttoned:
    """The overlap of a buttoned collar.

    Attributes:
        overlap: rows that lap over.
        hole_row: the row of the overlap, from 1, with the buttonholes.
        hole: stitches that each hole skips, and chains over it.
        solid: stitches before, between and after the holes.
    """

    overlap: int
    hole_row: int
    hole: int
    solid: tuple[int, ...]

    @property
    def buttons(self) -> int:
        """Return how many buttons there are."""
        return len(self.solid) - 1


def spaced(stitches: int, hole: int, holes: int) -> tuple[int, ...]:
    """Return the stitches before, between and after as many holes as there is room for.

    At least one stitch stands at each edge and between two holes. Where there is no room for
    any, the answer is a single number: no holes.
    """
    fitting = min(holes, (stitches - 1) // (hole + 1))
    return shares(stitches - fitting * hole, fitting + 1)


def _hole(button_mm: float, gauge: Gauge) -> int:
    """Return the stitches that the hole of a button skips."""
    return max(1, round(button_mm * HOLE_SHARE.value / gauge.rib_stitch_mm))


def buttoned_collar(
    collar_stitches: int, gauge: Gauge, button_mm: float = BUTTON.value, *, chewer: bool = False
) -> Buttoned:
    """Return the overlap and the buttonholes of a collar.

    Args:
        collar_stitches: stitches in a collar row.
        gauge: of the hood.
        button_mm: the button's diameter in mm.
        chewer: whether the dog chews; then there are no buttons.

    Raises:
        ValueOutOfRangeError: if the collar is too low for the button, or the dog chews.
    """
    if chewer:
        reason = "This dog chews: a bitten-off button can be swallowed. Make a looser collar."
        raise ValueOutOfRangeError("buttoned", reason)
    if not LEAST_BUTTON.value <= button_mm <= MOST_BUTTON.value:
        reason = f"A button measures {LEAST_BUTTON.value:g} to {MOST_BUTTON.value:g} mm."
        raise ValueOutOfRangeError("button_mm", reason)
    hole = _hole(button_mm, gauge)
    holes = max(1, int(collar_stitches * gauge.rib_stitch_mm // BUTTON_EVERY.value))
    solid = spaced(collar_stitches, hole, holes)
    if len(solid) == 1:
        least = spaced(collar_stitches, _hole(LEAST_BUTTON.value, gauge), 1)
        smaller = "choose a smaller button or" if len(least) > 1 else "no button is small enough:"
        reason = (
            f"A collar {collar_stitches} stitches high is too low for a buttonhole of {hole}:"
            f" {smaller} make the collar looser instead."
        )
        raise ValueOutOfRangeError("button_mm", reason)
    # Half a button of fabric on each side of the button, an even number of rows.
    lap = max(OVERLAP.value, 2 * button_mm)
    overlap = max(int(LEAST_OVERLAP.value), 2 * ceil(lap / gauge.rib_row_mm / 2))
    return Buttoned(overlap, overlap // 2, hole, solid)
