"""How many stitches the hood takes up along the collar.

Common practice works one into each row end. That suits as long as a row of rib and a stitch of
plain sc are near enough the same size; where a maker's two gauges differ strongly, the edge of
the hood would gather in folds or be drawn apart on the neck, and evenly spread row ends take two
stitches, or none.
"""

from math import ceil, floor
from typing import Final

from sizing.evidence import Fact, derived
from sizing.gauge import Gauge
from sizing.rowplan import LEAST_STITCHES
from sizing.variants.pickup import least_picked_up, most_picked_up

_EDGE = derived(
    "judgement: twice what common practice gives; 40 sc of 8 mm on a 14 in neck are drawn by 0.11,"
    " in a cotton blend 50 of them lie 0.11 in folds"
)
GATHERED: Final = Fact(-0.2, "strain of the hood's edge on the neck", _EDGE)
DRAWN: Final = Fact(0.2, "strain of the hood's edge on the neck", _EDGE)


def edge_strain(stitches: int, neck_girth: float, gauge: Gauge) -> float:
    """Return the strain of the hood's first row, worn round a neck of `neck_girth` mm."""
    return neck_girth / (stitches * gauge.stitch_mm) - 1


def picked_up(collar_rows: int, neck_girth: float, gauge: Gauge) -> int:
    """Return the stitches to pick up: an even number, one in each row end where that can be.

    Else the fewest row ends are doubled or skipped that bring the strain of the edge between
    `GATHERED` and `DRAWN`, as far as two in each or every other one go.

    Args:
        collar_rows: row ends of the collar.
        neck_girth: of the dog, in mm.
        gauge: in both fabrics.
    """
    strain = edge_strain(collar_rows, neck_girth, gauge)
    pairs = neck_girth / gauge.stitch_mm / 2
    if strain > DRAWN.value:
        return min(most_picked_up(collar_rows), 2 * ceil(pairs / (1 + DRAWN.value)))
    if strain < GATHERED.value:
        fewest = max(least_picked_up(collar_rows), int(LEAST_STITCHES.value))
        return max(fewest, 2 * floor(pairs / (1 + GATHERED.value)))
    return collar_rows
