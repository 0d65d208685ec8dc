"""The whole plan of a hood: one request in, everything decided out."""

from dataclasses import dataclass, replace
from typing import Final

from sizing.ballband import ball_findings
from sizing.checkpoints import Checkpoint, checkpoints_of
from sizing.checks import Finding, Severity, check
from sizing.doctor.learn import PUBLISHED, Prior
from sizing.dogs import Dog, Measurements, Risk
from sizing.errors import StoppedError, ValueOutOfRangeError
from sizing.fit import (
    PLAIN_LESSONS,
    Dimensions,
    Lessons,
    Reduction,
    reduction,
    target,
    taught,
)
from sizing.fitted import Fit, Wearer, fit_of
from sizing.gauge import THICKEST_HOOK, THINNEST_HOOK, Gauge, Swatch, default_hook_mm, gauge_for
from sizing.labour import Labour, labour_of
from sizing.machine import Replay, total, worked
from sizing.material import YarnNeed, yarn_need
from sizing.pattern import pattern_of
from sizing.pieces import pieces_from
from sizing.price import Line, Price, price_of
from sizing.profile import Profile, profile_of
from sizing.rates import Rates
from sizing.rowplan import RowPlan
from sizing.rows import Pattern
from sizing.search import choose
from sizing.shape import HalfPanel, finished, half_panel
from sizing.shrink import Belief
from sizing.stretch import Stretch, stretch_of
from sizing.swatches import swatch_findings
from sizing.units import LengthUnit
from sizing.variants.make import PLAIN, Make
from sizing.wearing import passage_of
from sizing.wishes import PLAIN_WISHES, Wishes, make_of
from sizing.yarns import Yarn

ENGINE: Final = "2"
"""The version of the rules; kept with each stored plan, so that an old ticket stays as it was."""


@dataclass(frozen=True, slots=True)
class Request:
    """All that a plan depends on.

    Attributes:
        accepted: fields whose stop the maker has accepted with a reason.
        hook_mm: the hook, or None for the swatch's, else the default.
        wishes: the variants asked for.
        prior: what finished hoods have taught of the usual lengths.
        lessons: what fittings have taught of this dog and of others.
        made_before: hoods of this kind that the maker has made; None for one known by heart.
        yarn_learned, time_learned: what the maker's finished hoods say of yarn and time, or None.
    """

    dog: Dog
    measurements: Measurements
    yarn: Yarn
    rates: Rates
    unit: LengthUnit = LengthUnit.CM
    swatch: Swatch | None = None
    hook_mm: float | None = None
    accepted: frozenset[str] = frozenset()
    wishes: Wishes = PLAIN_WISHES
    made_before: int | None = None
    yarn_learned: Belief | None = None
    time_learned: Belief | None = None
    lessons: Lessons = PLAIN_LESSONS
    prior: Prior = PUBLISHED


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
    make: Make = PLAIN


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


def aim_of(request: Request, less: Reduction, stretch: Stretch, gauge: Gauge) -> Dimensions:
    """Return the target; where it is wished, with a collar that goes over the head.

    One that opens need not go over it.
    """
    body, wishes = request.measurements, request.wishes
    aim = target(body, less)
    if not wishes.looser or wishes.buttoned:
        return aim
    usual = choose(aim, gauge, body.neck_girth)
    passage = passage_of(body, finished(usual, gauge), stretch, gauge)
    if passage.looser is None:
        return aim
    return replace(aim, collar_girth=passage.looser.collar_girth)


def extras_of(make: Make, rates: Rates) -> tuple[Line, ...]:
    """Return what the hood takes besides yarn, at what it costs to buy again."""
    cost = make.buttons * rates.button_cost
    return (Line("buttons", cost),) if cost else ()


def plan_of(request: Request, findings: tuple[Finding, ...]) -> Plan:
    """Return the plan for a request that nothing stops.

    Args:
        request: what is asked.
        findings: on its measurements, as `findings_for` has them.

    Raises:
        ValueOutOfRangeError: if a gauge, hook, rate or wish cannot be.
        PatternFaultError: if the stitch machine refuses the pattern, which is our fault.
    """
    profile, rates = profile_of(request.dog), request.rates
    gauge = gauge_for(request.yarn, request.swatch)
    stretch = stretch_of(request.yarn, request.swatch.stretch if request.swatch else None)
    less = taught(reduction(stretch, profile.risks), request.lessons)
    aim = aim_of(request, less, stretch, gauge)
    body, wishes = request.measurements, request.wishes
    if wishes.looser:
        less = replace(less, collar=1 - aim.collar_girth / body.neck_girth)
    rows = choose(aim, gauge, body.neck_girth)
    if not wishes.chewer and Risk.CHEWER in profile.risks:
        wishes = replace(wishes, chewer=True)
    make = make_of(wishes, rows, gauge)
    pattern = pattern_of(rows, make)
    work = worked(pattern)
    made, pieces = total(work), pieces_from(work)
    done = finished(rows, gauge)
    need = yarn_need(
        made, request.yarn, gauge, request.swatch, pieces=pieces, finished=request.yarn_learned
    )
    labour = labour_of(
        made,
        gauge,
        rates,
        pieces=pieces,
        finished=request.time_learned,
        made_before=request.made_before,
        buttons=make.buttons,
    )
    wearer = Wearer(request.dog, body, profile.risks)
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
        checkpoints=checkpoints_of(rows, done, gauge, make),
        yarn=need,
        labour=labour,
        price=price_of(need, request.yarn, labour, rates, extras=extras_of(make, rates)),
        fit=fit_of(wearer, stretch, rows, done, gauge, request.unit, make=make),
        make=make,
    )


def findings_for(request: Request) -> tuple[Finding, ...]:
    """Return what is odd about a request: the dog, its measurements, the yarn, the swatch."""
    found = check(request.dog, request.measurements, request.unit, request.prior)
    swatch = swatch_findings(request.yarn, request.swatch)
    return (*found, *ball_findings(request.yarn), *swatch)


def make_plan(request: Request) -> Plan:
    """Return the plan for a request.

    Raises:
        StoppedError: if a stop is neither corrected nor accepted.
        ValueOutOfRangeError, PatternFaultError: as `plan_of`.
    """
    findings = findings_for(request)
    stopped = blocking(findings, request.accepted)
    if stopped:
        said = " ".join(f.message for f in findings if f.field in stopped)
        raise StoppedError(stopped, f"Correct or accept with a reason first: {said}")
    return plan_of(request, findings)
