"""What goes out: plans and findings on the wire."""

from decimal import Decimal
from typing import Annotated, Final

from pydantic import BaseModel, ConfigDict, PlainSerializer

from sizing.checks import Diagnosis, Finding, Severity
from sizing.doctor import Kind
from sizing.fit import Dimensions
from sizing.fitted import Fit
from sizing.material import Spread, YarnNeed
from sizing.plan import Plan
from sizing.rows import Op, Part, PartName, Side
from sizing.wearing import Verdict, Zone
from sizing.wording import Terms, row_text

LEAST_SHOWN: Final = 0.01
Amount = Annotated[Decimal, PlainSerializer(str, return_type=str)]


class Out(BaseModel):
    """A body that goes out."""

    model_config = ConfigDict(frozen=True, from_attributes=True)


class FindingOut(Out):
    """What is odd about one field, and what was probably meant."""

    field: str
    severity: Severity
    message: str
    expected_low_mm: float | None
    expected_high_mm: float | None
    suggestion: str | None = None
    suggestion_mm: float | None = None
    basis: str


class ExplanationOut(Out):
    """One way in which the numbers may have come about."""

    kind: Kind
    fields: list[str]
    meant_mm: dict[str, float]
    probability: float


class DiagnosisOut(Out):
    """What may have happened between the dog and the numbers, likeliest first.

    `ask_owner` is a message that can be sent as it is, where there is something to ask.
    """

    true_probability: float
    severity: Severity | None
    sure: str
    explanations: list[ExplanationOut]
    ask_owner: str | None


class OperationOut(Out):
    """`count` stitches of one kind."""

    op: Op
    count: int


class RowOut(Out):
    """One row."""

    row: int
    side: Side
    operations: list[OperationOut]
    stitches: int
    text: str


class PartOut(Out):
    """One part of the hood."""

    part: PartName
    foundation_chain: int | None = None
    rows: list[RowOut]


class PatternOut(Out):
    """The pattern in the order of work."""

    terms: Terms
    parts: list[PartOut]


class DimensionsOut(Out):
    """Dimensions of the hood lying relaxed, in mm."""

    collar_girth: float
    collar_height: float
    nape: float
    face_opening: float
    crown: float | None


class SpreadOut(Out):
    """A likely value with its low and high end."""

    low: float
    likely: float
    high: float


class BallsOut(Out):
    """Whole balls; `buy` covers the high end."""

    low: int
    likely: int
    high: int
    buy: int


class BallChoiceOut(Out):
    """A number of balls and the probability that they suffice."""

    balls: int
    suffices: float


class PartNeedOut(Out):
    """The yarn of one part in one colour; the spreads cover 80 percent."""

    part: str
    colour: str
    metres: SpreadOut
    grams: SpreadOut


class YarnOut(Out):
    """The yarn needed: low to high covers 80 percent, the wider spreads 95 percent.

    `suffices` is the probability that the balls to buy are enough.
    """

    metres: SpreadOut
    grams: SpreadOut
    metres_95: SpreadOut | None = None
    grams_95: SpreadOut | None = None
    balls: BallsOut
    suffices: float | None = None
    choices: list[BallChoiceOut] = []
    parts: list[PartNeedOut] = []
    advice: str = ""
    basis: str


class TaskOut(Out):
    """One task."""

    name: str
    minutes: float


class LabourOut(Out):
    """The time, task by task."""

    tasks: list[TaskOut]
    minutes: float
    spread: SpreadOut | None = None


class LineOut(Out):
    """One line of the price."""

    name: str
    amount: Amount


class PriceOut(Out):
    """The price; the lines add up to the total exactly."""

    lines: list[LineOut]
    total: Amount
    currency: str
    before_tax: Amount | None = None
    deposit: Amount | None = None
    balance: Amount | None = None
    notes: list[str] = []


class GaugeOut(Out):
    """Stitches and rows per 10 cm; untested where no swatch was made."""

    rib_stitches: float
    rib_rows: float
    plain_stitches: float
    plain_rows: float
    tested: bool


class CheckpointOut(Out):
    """After which row to measure what, in mm."""

    part: PartName
    row: int
    name: str
    mm: float
    tolerance_mm: float


class WornOut(Out):
    """How one zone is worn: strain is body / finished - 1, comfortable from low to high."""

    zone: Zone
    body_mm: float
    finished_mm: float
    strain: float
    low: float
    high: float
    verdict: Verdict
    probability: float
    basis: str


class LooserOut(Out):
    """A looser collar that passes the head."""

    collar_rows: int
    collar_girth: float
    worn_strain: float


class ButtonedOut(Out):
    """A collar that opens."""

    overlap_mm: float
    overlap_rows: int
    buttonholes: int


class PassageOut(Out):
    """Whether the collar goes over the head, and the remedies where it does not."""

    passes: bool
    head_mm: float
    measured: bool
    needed: float
    limit: float
    looser: LooserOut | None
    buttoned: ButtonedOut | None


class CautionOut(Out):
    """What to know about the fit before the yarn is cut; it blocks nothing."""

    about: str
    severity: Severity
    message: str
    basis: str


class FitOut(Out):
    """How the hood will be worn, how sure that is, and what to measure again.

    `overall` is the probability that all zones fit, `passes` that the collar passes the head.
    """

    zones: list[WornOut]
    cautions: list[CautionOut]
    overall: float | None
    passes: float | None
    passage: PassageOut
    measure_again: str | None
    gain: float


class PlanOut(Out):
    """The whole plan of one hood."""

    engine: str
    findings: list[FindingOut]
    gauge: GaugeOut
    hook_mm: float
    target: DimensionsOut
    finished: DimensionsOut
    pattern: PatternOut
    checkpoints: list[CheckpointOut]
    yarn: YarnOut
    labour: LabourOut
    price: PriceOut
    fit: FitOut | None = None


def finding_out(finding: Finding) -> FindingOut:
    """Return a finding for the wire."""
    return FindingOut.model_validate(finding, from_attributes=True)


def diagnosis_out(diagnosis: Diagnosis) -> DiagnosisOut:
    """Return a diagnosis for the wire, without the explanations that hardly can be."""
    return DiagnosisOut(
        true_probability=diagnosis.true_probability,
        severity=diagnosis.severity,
        sure=diagnosis.sure,
        explanations=[
            ExplanationOut(
                kind=one.kind,
                fields=[field.value for field in one.fields],
                meant_mm={field.value: mm for field, mm in one.meant},
                probability=one.probability,
            )
            for one in diagnosis.explanations
            if one.probability >= LEAST_SHOWN
        ],
        ask_owner=diagnosis.ask_owner,
    )


def _part(part: Part, terms: Terms) -> PartOut:
    rows = [
        RowOut(
            row=row.row,
            side=row.side,
            operations=[OperationOut(op=o.op, count=o.count) for o in row.operations],
            stitches=row.stitches,
            text=row_text(part.part, row, terms),
        )
        for row in part.rows
    ]
    return PartOut(part=part.part, foundation_chain=part.foundation_chain, rows=rows)


def _spread(spread: Spread) -> SpreadOut:
    return SpreadOut(low=spread.low, likely=spread.likely, high=spread.high)


def _yarn(need: YarnNeed) -> YarnOut:
    balls = BallsOut(
        low=need.balls_low,
        likely=need.balls_likely,
        high=need.balls_to_buy,
        buy=need.balls_to_buy,
    )
    return YarnOut(
        metres=_spread(need.metres),
        grams=_spread(need.grams),
        metres_95=_spread(need.metres_95) if need.metres_95 else None,
        grams_95=_spread(need.grams_95) if need.grams_95 else None,
        balls=balls,
        suffices=need.suffices,
        choices=[BallChoiceOut(balls=c.balls, suffices=c.suffices) for c in need.choices],
        parts=[PartNeedOut.model_validate(part, from_attributes=True) for part in need.parts],
        advice=need.advice,
        basis=need.basis,
    )


def _dimensions(dimensions: Dimensions) -> DimensionsOut:
    return DimensionsOut.model_validate(dimensions, from_attributes=True)


def _fit(fit: Fit) -> FitOut:
    sure = {one.zone: one.probability for one in fit.surety.zones}
    names = ("zone", "body_mm", "finished_mm", "strain", "low", "high", "verdict", "basis")
    return FitOut(
        zones=[
            WornOut(**{name: getattr(worn, name) for name in names}, probability=sure[worn.zone])
            for worn in fit.zones
        ],
        cautions=[CautionOut.model_validate(one) for one in fit.cautions],
        overall=fit.surety.overall,
        passes=fit.surety.passes,
        passage=PassageOut.model_validate(fit.passage),
        measure_again=fit.surety.again.value if fit.surety.again else None,
        gain=fit.surety.gain,
    )


def plan_out(plan: Plan, terms: Terms) -> PlanOut:
    """Return a plan for the wire, its rows worded in US or UK terms."""
    return PlanOut(
        engine=plan.engine,
        findings=[finding_out(finding) for finding in plan.findings],
        gauge=GaugeOut.model_validate(plan.gauge, from_attributes=True),
        hook_mm=plan.hook_mm,
        target=_dimensions(plan.target),
        finished=_dimensions(plan.finished),
        pattern=PatternOut(terms=terms, parts=[_part(part, terms) for part in plan.pattern.parts]),
        checkpoints=[
            CheckpointOut.model_validate(point, from_attributes=True) for point in plan.checkpoints
        ],
        yarn=_yarn(plan.yarn),
        labour=LabourOut(
            tasks=[TaskOut(name=task.name, minutes=task.minutes) for task in plan.labour.tasks],
            minutes=plan.labour.minutes,
            spread=_spread(plan.labour.spread) if plan.labour.spread else None,
        ),
        price=PriceOut.model_validate(plan.price, from_attributes=True),
        fit=_fit(plan.fit) if plan.fit else None,
    )
