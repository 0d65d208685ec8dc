"""How the hood is worn: strain in each zone, and whether the collar passes the head.

A strain is body / finished - 1: how far the fabric is stretched when worn. Nothing published
gives ease for a dog's neck or the stretch of crocheted rib, so the bands are judgement at the
gentle end, and each says so.
"""

from dataclasses import dataclass, replace
from enum import StrEnum
from math import ceil
from typing import Final

from sizing.dogs import Measurements, Risk
from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, Origin, derived
from sizing.fit import GENTLE_FOR, Dimensions
from sizing.gauge import Gauge
from sizing.stretch import SPRINGY_TUG, Stretch
from sizing.variants.buttoned import buttoned_collar


class Zone(StrEnum):
    """Where a hood touches the dog."""

    COLLAR = "collar"
    NAPE = "nape"
    OPENING = "opening"


class Verdict(StrEnum):
    """How a zone is worn."""

    LOOSE = "loose"
    COMFORTABLE = "comfortable"
    TIGHT = "tight"


_COLLAR = derived(
    "judgement: tight half way from a light tug to the comfortable limit; loose where the strip is"
    " a twentieth longer than the neck. Common practice, 2 to 3 in short, lies within"
)
_NAPE = derived("judgement: the nape carries no load; a tenth too long folds, the tug pulls back")
_OPENING = derived(
    "judgement: an edge of plain sc gives little; published ease of a hat is about a tenth of the"
    " head (tutorials), of a sock 10 to 15 percent"
)
LOOSE_COLLAR: Final = Fact(-0.05, "strain", _COLLAR)
TIGHT_COLLAR: Final = Fact(0.5, "of the way from tug to limit", _COLLAR)
GENTLE_COLLAR: Final = Fact(
    0.08, "strain", derived("judgement: where even a light tug is less, a twelfth is not felt")
)
LOOSE_NAPE: Final = Fact(-0.1, "strain", _NAPE)
TIGHT_NAPE: Final = Fact(0.3, "strain", _NAPE)
LOOSE_OPENING: Final = Fact(-0.1, "strain", _OPENING)
TIGHT_OPENING: Final = Fact(0.1, "strain", _OPENING)
HEAD_OF_FACE: Final = Fact(
    1.05,
    "of the face girth",
    derived("judgement: the widest head with folded ears is the face girth at least; no figure"),
)


@dataclass(frozen=True, slots=True)
class Worn:
    """How one zone is worn.

    Attributes:
        body_mm, finished_mm: the measurement and the relaxed fabric.
        strain: body / finished - 1.
        low, high: the comfort band of the strain.
        verdict: loose, comfortable or tight.
        basis: what the band rests on.
        by_rows: how far the length follows the row gauge: by 1 where rows alone make it, by less
            along a slanting fold, which stitches make too.
    """

    zone: Zone
    body_mm: float
    finished_mm: float
    strain: float
    low: float
    high: float
    verdict: Verdict
    basis: str
    by_rows: float = 1.0


@dataclass(frozen=True, slots=True)
class Looser:
    """A collar that passes the head: rows, girth in mm, and its strain on the neck then."""

    collar_rows: int
    collar_girth: float
    worn_strain: float


@dataclass(frozen=True, slots=True)
class Buttoned:
    """A collar that opens: overlap in mm and rows of the strip, and buttonholes."""

    overlap_mm: float
    overlap_rows: int
    buttonholes: int


@dataclass(frozen=True, slots=True)
class Passage:
    """Whether the collar goes over the head.

    Attributes:
        head_mm: the girth to pass; reckoned from the face girth where it was not measured.
        measured: whether the head was measured.
        needed: strain needed to pass.
        limit: the most that is comfortable.
        looser, buttoned: the two remedies where it does not pass, else None; no buttons for a dog
            that chews, nor where the collar is too low for them.
        opens: whether the collar opens; then it is closed round the neck, not pulled on.
    """

    head_mm: float
    measured: bool
    needed: float
    limit: float
    looser: Looser | None
    buttoned: Buttoned | None
    opens: bool = False

    @property
    def passes(self) -> bool:
        """Return whether the collar goes over the head without force, or round the neck open."""
        return self.opens or self.needed <= self.limit


def collar_band(stretch: Stretch, risks: frozenset[Risk]) -> tuple[float, float]:
    """Return the comfort band of the collar's strain; gentler dogs are held to a light tug.

    In a rib that hardly gives they are held to the band of any other dog.
    """
    tug = min(stretch.tug, SPRINGY_TUG.value)
    high = tug + TIGHT_COLLAR.value * max(0.0, stretch.limit - tug)
    if risks & GENTLE_FOR:
        high = min(high, max(tug, GENTLE_COLLAR.value))
    return LOOSE_COLLAR.value, high


def _worn(zone: Zone, body: float, made: float, band: tuple[float, float], basis: Origin) -> Worn:
    strain = body / made - 1
    low, high = band
    verdict = Verdict.COMFORTABLE
    if not low <= strain <= high:
        verdict = Verdict.LOOSE if strain < low else Verdict.TIGHT
    return Worn(zone, body, made, strain, low, high, verdict, str(basis))


def zones_of(
    body: Measurements,
    made: Dimensions,
    stretch: Stretch,
    risks: frozenset[Risk],
    nape_by_rows: float = 1.0,
) -> tuple[Worn, ...]:
    """Return how each zone is worn; `nape_by_rows` as in `Worn`."""
    opening = (LOOSE_OPENING.value, TIGHT_OPENING.value)
    band = collar_band(stretch, risks)
    nape = _worn(
        Zone.NAPE, body.nape_length, made.nape, (LOOSE_NAPE.value, TIGHT_NAPE.value), _NAPE
    )
    return (
        _worn(Zone.COLLAR, body.neck_girth, made.collar_girth, band, _COLLAR),
        replace(nape, by_rows=nape_by_rows),
        _worn(Zone.OPENING, body.face_girth, made.face_opening, opening, _OPENING),
    )


def _looser(head: float, neck: float, limit: float, gauge: Gauge) -> Looser:
    rows = 2 * ceil(head / (1 + limit) / gauge.rib_row_mm / 2)
    girth = rows * gauge.rib_row_mm
    return Looser(rows, girth, neck / girth - 1)


def _buttoned(height: float, gauge: Gauge, *, chewer: bool) -> Buttoned | None:
    """Return the collar that opens, as it would be made; None where it cannot be."""
    stitches = round(height / gauge.rib_stitch_mm)
    try:
        made = buttoned_collar(stitches, gauge, chewer=chewer)
    except ValueOutOfRangeError:
        return None
    return Buttoned(made.overlap * gauge.rib_row_mm, made.overlap, made.buttons)


def passage_of(
    body: Measurements,
    made: Dimensions,
    stretch: Stretch,
    gauge: Gauge,
    *,
    opens: bool = False,
    chewer: bool = False,
) -> Passage:
    """Return whether the collar passes the head, and what to do where it does not.

    Args:
        body: of the dog.
        made: the finished dimensions.
        stretch: of the rib.
        gauge: of the hood.
        opens: whether the collar opens.
        chewer: whether the dog chews; then no button is offered.
    """
    head = body.head_girth or body.face_girth * HEAD_OF_FACE.value
    needed = max(0.0, head / made.collar_girth - 1)
    fits = opens or needed <= stretch.limit
    return Passage(
        head_mm=head,
        measured=body.head_girth is not None,
        needed=needed,
        limit=stretch.limit,
        looser=None if fits else _looser(head, body.neck_girth, stretch.limit, gauge),
        buttoned=None if fits else _buttoned(made.collar_height, gauge, chewer=chewer),
        opens=opens,
    )
