"""What goes out: the shapes of plans and findings on the wire."""

from decimal import Decimal
from typing import Annotated

from pydantic import BaseModel, ConfigDict, PlainSerializer

from sizing.checks import Severity
from sizing.doctor import Kind
from sizing.rows import Op, PartName, Side
from sizing.wearing import Verdict, Zone
from sizing.wording import Terms

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
    colour: str = ""


class PartOut(Out):
    """One part of the hood: make `copies` of it; `overlap` rows of a collar lap over.

    A part in rounds is worked in a spiral; `turning_chain` chains follow each turn of the others.
    """

    part: PartName
    foundation_chain: int | None = None
    turning_chain: int = 0
    overlap: int = 0
    rounds: bool = False
    copies: int = 1
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


class ColourNeedOut(Out):
    """The yarn of one colour, its balls and the probability that they suffice."""

    colour: str
    metres: SpreadOut
    grams: SpreadOut
    buy: int
    suffices: float


class YarnOut(Out):
    """The yarn needed: low to high covers 80 percent, the wider spreads 95 percent.

    `suffices` is the probability that the balls to buy are enough. `by_area` is a second way to
    the same metres, 95 percent; where the two do not `agree`, a number of swatch or ball is likely
    wrong.
    """

    metres: SpreadOut
    grams: SpreadOut
    metres_95: SpreadOut | None = None
    grams_95: SpreadOut | None = None
    balls: BallsOut
    suffices: float | None = None
    choices: list[BallChoiceOut] = []
    parts: list[PartNeedOut] = []
    colours: list[ColourNeedOut] = []
    by_area: SpreadOut | None = None
    agree: bool | None = None
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
    opens: bool = False


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
