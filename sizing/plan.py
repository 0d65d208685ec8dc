"""The whole plan of a hood: one request in, everything decided out."""

from dataclasses import dataclass
from typing import Final

from sizing.cautions import Caution, cautions_of
from sizing.checks import Finding, Severity, check
from sizing.dogs import Dog, Measurements
from sizing.errors import StoppedError, ValueOutOfRangeError
from sizing.exactness import errors_of
from sizing.fit import Dimensions, Reduction, reduction, target
from sizing.gauge import THICKEST_HOOK, THINNEST_HOOK, Gauge, Swatch, default_hook_mm, gauge_for
from sizing.labour import Labour, labour_of
from sizing.machine import Replay, replay
from sizing.material import YarnNeed, yarn_need
from sizing.pattern import pattern_of
from sizing.pieces import pieces_of
from sizing.price import Price, price_of
from sizing.profile import Profile, profile_of
from sizing.rates import Rates
from sizing.rowplan import RowPlan
from sizing.rows import PartName, Pattern
from sizing.search import choose
from sizing.shape import HalfPanel, finished, half_panel, nape_by_rows
from sizing.stretch import Stretch, stretch_of
from sizing.surety import Surety, surety_of
from sizing.units import LengthUnit
from sizing.wearing import Passage, Worn, passage_of, zones_of
from sizing.yarns import Yarn

ENGINE: Final = "2"
"""The version of the rules; kept with each stored plan, so that an old ticket stays as it was."""


@dataclass(frozen=True, slots=True)
class Request:
    """All that a plan depends on.

    Attributes:
        accepted: fields whose stop the maker has accepted with a reason.
        hook_mm: the hook, or None for the swatch's, else the default.
    """

    dog: Dog
    measurements: Measurements
    yarn: Yarn
    rates: Rates
    unit: LengthUnit = LengthUnit.CM
    swatch: Swatch | None = None
    hook_mm: float | None = None
    accepted: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """A moment at which the work is measured: after which row, what, how long, how near."""

    part: PartName
    row: int
    name: str
    mm: float
    tolerance_mm: float


@dataclass(frozen=True, slots=True)
class Fit:
    """How the hood will be worn, and how sure that is.

    Attributes:
        stretch: what the rib gives, tested or by fibre.
        zones: collar, nape and opening as worn.
        passage: whether the collar goes over the head.
        surety: the probability that each zone lies within its band, and what to measure again.
        cautions: what the maker should know of it, in sentences.
    """

    stretch: Stretch
    zones: tuple[Worn, ...]
    passage: Passage
    surety: Surety
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything decided about one hood; lengths in mm."""

    engine: str
    findings: tuple[Finding, ...]
    profile: Profile
    gauge: Gauge
    hook_mm: float
    less: Reduction
    target: Dimensions
    finished: Dimensions
    rows: RowPlan
    panel: HalfPanel
    pattern: Pattern
    made: Replay
    checkpoints: tuple[Checkpoint, ...]
    yarn: YarnNeed
    labour: Labour
    price: Price
    fit: Fit | None = None


def checkpoints_of(plan: RowPlan, done: Dimensions, gauge: Gauge) -> tuple[Checkpoint, ...]:
    """Return where to measure; the tolerance is one row, or one stitch for the height."""
    last = plan.hood_rows
    points = [
        Checkpoint(PartName.COLLAR, 1, "collar height", done.collar_height, gauge.rib_stitch_mm),
        Checkpoint(
            PartName.COLLAR,
            plan.collar_rows,
            "collar strip before joining",
            done.collar_girth,
            gauge.rib_row_mm,
        ),
        Checkpoint(
            PartName.HOOD,
            plan.crown_row - 1,
            "nape along the centre back",
            done.nape,
            gauge.row_mm,
        ),
        Checkpoint(PartName.HOOD, last, "each front edge", done.face_opening / 2, gauge.row_mm),
    ]
    return tuple(points)


def blocking(findings: tuple[Finding, ...], accepted: frozenset[str]) -> tuple[str, ...]:
    """Return the fields with a stop that nobody has accepted."""
    stops = (finding.field for finding in findings if finding.severity is Severity.STOP)
    return tuple(field for field in stops if field not in accepted)


def hook_of(request: Request) -> float:
    """Return the hook in mm.

    Raises:
        ValueOutOfRangeError: if it is no hook.
    """
    swatch_hook = request.swatch.hook_mm if request.swatch else None
    hook = request.hook_mm if request.hook_mm is not None else swatch_hook
    if hook is None:
        hook = default_hook_mm(request.yarn)
    if not THINNEST_HOOK.value <= hook <= THICKEST_HOOK.value:
        raise ValueOutOfRangeError("hook_mm", "A crochet hook is from 0.5 to 30 mm.")
    return hook


def fit_of(
    request: Request,
    profile: Profile,
    stretch: Stretch,
    rows: RowPlan,
    done: Dimensions,
    gauge: Gauge,
) -> Fit:
    """Return how a hood of these rows and dimensions is worn by the dog."""
    body = request.measurements
    zones = zones_of(body, done, stretch, profile.risks, nape_by_rows(rows, gauge))
    errors = errors_of(
        request.dog,
        profile.risks,
        stretch,
        tested=gauge.tested,
        head_measured=body.head_girth is not None,
    )
    passage = passage_of(body, done, stretch, gauge)
    surety = surety_of(zones, stretch, profile.risks, errors, passage)
    cautions = cautions_of(zones, passage, surety, stretch, profile.risks, request.unit)
    return Fit(stretch, zones, passage, surety, cautions)


def make_plan(request: Request) -> Plan:
    """Return the plan for a request.

    Raises:
        StoppedError: if a stop is neither corrected nor accepted.
        ValueOutOfRangeError: if a gauge, hook or rate cannot be.
        PatternFaultError: if the stitch machine refuses the pattern, which is our fault.
    """
    findings = check(request.dog, request.measurements, request.unit)
    stopped = blocking(findings, request.accepted)
    if stopped:
        said = " ".join(f.message for f in findings if f.field in stopped)
        raise StoppedError(stopped, f"Correct or accept with a reason first: {said}")
    profile = profile_of(request.dog)
    gauge = gauge_for(request.yarn, request.swatch)
    stretch = stretch_of(request.yarn, request.swatch.stretch if request.swatch else None)
    less = reduction(stretch, profile.risks)
    aim = target(request.measurements, less)
    rows = choose(aim, gauge, request.measurements.neck_girth)
    pattern = pattern_of(rows)
    made = replay(pattern)
    done = finished(rows, gauge)
    pieces = pieces_of(pattern)
    need = yarn_need(made, request.yarn, gauge, request.swatch, pieces=pieces)
    labour = labour_of(made, gauge, request.rates, pieces=pieces)
    return Plan(
        engine=ENGINE,
        findings=findings,
        profile=profile,
        gauge=gauge,
        hook_mm=hook_of(request),
        less=less,
        target=aim,
        finished=done,
        rows=rows,
        panel=half_panel(rows, gauge),
        pattern=pattern,
        made=made,
        checkpoints=checkpoints_of(rows, done, gauge),
        yarn=need,
        labour=labour,
        price=price_of(need, request.yarn, labour, request.rates),
        fit=fit_of(request, profile, stretch, rows, done, gauge),
    )
