"""What comes in and goes out about work in hand and stock sizes."""

from typing import Annotated, Literal

from pydantic import Field

from service.bodies import SwatchIn, YarnIn
from service.fields import Body, LengthText
from service.planbodies import DimensionsOut, GaugeOut, Out, PartOut
from sizing.dogs import HeadType
from sizing.replan import Plausible, Verdict
from sizing.units import LengthUnit


class InHandIn(Body):
    """What is on the hook, laid flat and relaxed."""

    part: Literal["collar", "hood"]
    rows_made: Annotated[int, Field(ge=1, le=2000)]
    stitches_now: Annotated[int, Field(ge=1, le=2000)]
    width: LengthText = Field(description="along the last row", examples=["8.4 cm"])
    length: LengthText = Field(description="across the rows made", examples=["21 cm"])


class ReplanOut(Out):
    """A piece in hand, judged: what to do, from which row, and the rows left to work."""

    verdict: Verdict
    row: int
    why: str
    changed: bool
    hook_mm_change: float
    gauge: GaugeOut
    believed: Plausible
    unchanged: DimensionsOut
    carried_on: DimensionsOut
    finished: DimensionsOut
    rest: list[PartOut]


class StockIn(Body):
    """The yarn of the stock sizes, and the head types that they shall fit."""

    yarn: YarnIn
    swatch: SwatchIn | None = None
    heads: list[HeadType] = Field(default=list(HeadType), min_length=1, max_length=len(HeadType))
    unit: LengthUnit = LengthUnit.CM


class SpanOut(Out):
    """From a length to a length, in mm."""

    low: float
    high: float


class StockDogOut(Out):
    """A usual dog of a weight and head type."""

    weight_kg: float
    head: HeadType


class StockSizeOut(Out):
    """One size: what it measures, the lengths that it fits, usual dogs of the range among them.

    It goes over heads of up to `head_girth` mm without force. Short-nosed dogs, and those with eye
    or throat trouble, have necks within `gentle_neck`.
    """

    number: int
    finished: DimensionsOut
    neck_girth: SpanOut
    gentle_neck: SpanOut | None = None
    nape_length: SpanOut
    face_girth: SpanOut
    head_girth: float
    fits: list[StockDogOut]


class StockOut(Out):
    """Stock sizes, and the usual dogs that none of them fits."""

    sizes: list[StockSizeOut]
    without: list[StockDogOut]
