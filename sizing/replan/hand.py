"""What is on the hook, and the gauge that it shows.

A short piece is measured badly: 3 mm of tape error on two rows says nothing. So the gauge in
hand is weighed against the planned one, in logs, by their variances: a long piece is believed,
a short one hardly moves the plan.
"""

from dataclasses import dataclass, replace
from enum import StrEnum
from math import exp, isfinite, log
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived
from sizing.gauge import SPAN, Gauge
from sizing.rows import PartName

TAPE_MM: Final = Fact(
    3.0,
    "mm, standard error",
    derived("judgement: soft edges, a piece laid flat, a tape read once"),
)
SWATCH_SD: Final = Fact(
    0.04, "log of the gauge", derived("judgement: half a stitch of 14, and hands that vary by day")
)
UNTESTED_SD: Final = Fact(
    0.10, "log of the gauge", derived("a weight class spans 11 to 14 sts, 12 percent either side")
)
ODD: Final = Fact(
    0.4, "log of the ratio", derived("half as large again: no hand, a slip of tape, unit or count")
)
UNSURE: Final = Fact(
    0.05, "share", derived("3 mm on 6 cm: below that the tape error outweighs the swatch's")
)
LONGEST_PIECE: Final = Fact(5000.0, "mm", derived("more than any hood's widest row"))
MOST_COUNTED: Final = Fact(2000, "stitches or rows", derived("more than any hood has"))


class Plausible(StrEnum):
    """How far the gauge in hand can be believed."""

    GOOD = "good"
    UNSURE = "unsure"
    ODD = "odd"


@dataclass(frozen=True, slots=True)
class InHand:
    """What is on the hook, laid flat and relaxed.

    Attributes:
        part: collar or hood.
        rows_made: whole rows of that part.
        stitches_now: stitches of the last row.
        measured_width_mm: along the last row, in mm: the height of a collar strip, the hood from
            front edge to front edge.
        measured_length_mm: across the rows, in mm, from the first to the last.
    """

    part: PartName
    rows_made: int
    stitches_now: int
    measured_width_mm: float
    measured_length_mm: float

    def __post_init__(self) -> None:
        """Refuse what is no piece of a hood."""
        if self.part not in {PartName.COLLAR, PartName.HOOD}:
            raise ValueOutOfRangeError("part", "Only collar and hood can be planned again.")
        for name in ("rows_made", "stitches_now"):
            if not 1 <= getattr(self, name) <= MOST_COUNTED.value:
                said = name.replace("_", " ")
                raise ValueOutOfRangeError(name, f"Count the {said} again: at least one.")
        for name in ("measured_width_mm", "measured_length_mm"):
            mm = getattr(self, name)
            if not (isfinite(mm) and 0 < mm <= LONGEST_PIECE.value):
                reason = f"A piece measures over 0 and up to {LONGEST_PIECE.value:g} mm."
                raise ValueOutOfRangeError(name, reason)


@dataclass(frozen=True, slots=True)
class GaugeInHand:
    """The gauge of the piece, in mm, beside the planned one.

    Attributes:
        measured_stitch_mm, measured_row_mm: as the tape says.
        planned_stitch_mm, planned_row_mm: as the plan has it.
        stitch_ratio, row_ratio: believed width of a stitch and height of a row against the plan.
        plausible: whether the tape can be believed.
        gauge: the gauge to plan on with; the other fabric's is left as it was.
    """

    measured_stitch_mm: float
    measured_row_mm: float
    planned_stitch_mm: float
    planned_row_mm: float
    stitch_ratio: float
    row_ratio: float
    plausible: Plausible
    gauge: Gauge


def _believed(measured: float, planned: float, length: float, sd: float) -> float:
    """Return the ratio to the plan, the tape's error weighed against the plan's."""
    tape = TAPE_MM.value / length
    return exp(log(measured / planned) * sd**2 / (sd**2 + tape**2))


def _plausible(in_hand: InHand, ratios: tuple[float, float]) -> Plausible:
    if any(abs(log(ratio)) > ODD.value for ratio in ratios):
        return Plausible.ODD
    shortest = min(in_hand.measured_width_mm, in_hand.measured_length_mm)
    return Plausible.UNSURE if TAPE_MM.value / shortest > UNSURE.value else Plausible.GOOD


def gauge_in_hand(gauge: Gauge, in_hand: InHand) -> GaugeInHand:
    """Return the gauge that the piece shows."""
    rib = in_hand.part is PartName.COLLAR
    planned_stitch = gauge.rib_stitch_mm if rib else gauge.stitch_mm
    planned_row = gauge.rib_row_mm if rib else gauge.row_mm
    stitch = in_hand.measured_width_mm / in_hand.stitches_now
    row = in_hand.measured_length_mm / in_hand.rows_made
    sd = SWATCH_SD.value if gauge.tested else UNTESTED_SD.value
    across = _believed(stitch, planned_stitch, in_hand.measured_width_mm, sd)
    along = _believed(row, planned_row, in_hand.measured_length_mm, sd)
    plausible = _plausible(in_hand, (stitch / planned_stitch, row / planned_row))
    believed = gauge
    if plausible is not Plausible.ODD:
        stitches, rows = SPAN.value / planned_stitch / across, SPAN.value / planned_row / along
        if rib:
            believed = replace(gauge, rib_stitches=stitches, rib_rows=rows)
        else:
            believed = replace(gauge, plain_stitches=stitches, plain_rows=rows)
    return GaugeInHand(
        stitch, row, planned_stitch, planned_row, across, along, plausible, believed
    )
