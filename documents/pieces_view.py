"""The flat pieces, decided: outlines in mm and the words beside them."""

from dataclasses import dataclass
from itertools import pairwise

from sizing.plan import Plan
from sizing.shape import Point
from sizing.units import LengthUnit, show_length
from sizing.wording import counted


@dataclass(frozen=True, slots=True)
class PiecesView:
    """The collar strip and the folded half-panel.

    Attributes:
        collar: length and height of the strip, in mm; an overlap is part of the length.
        collar_rows: rows of the strip; they run across it.
        overlap: how much of the length laps over, in mm; 0 where the strip is joined.
        outline: corners of the half-panel in mm, anticlockwise from the throat, x to the back.
        narrowed: points of the fold at which decreases have just been worked.
        ear: the ends of the opening for an ear, or None.
        crown_at: the point of the fold where the crown begins, or None without a crown.
    """

    collar: tuple[float, float]
    collar_rows: int
    overlap: float
    collar_length: str
    collar_height: str
    outline: tuple[Point, ...]
    narrowed: tuple[Point, ...]
    ear: tuple[Point, Point] | None
    crown_at: Point | None
    crown: str
    front: str
    nape: str
    base: str
    top: str


def _narrowed(fold: tuple[Point, ...]) -> tuple[Point, ...]:
    return tuple(after for before, after in pairwise(fold) if after[0] < before[0])


def _ear(plan: Plan) -> tuple[Point, Point] | None:
    """Return where the opening for an ear lies on the half-panel."""
    ears, gauge = plan.make.ears, plan.gauge
    if ears is None:
        return None
    high = ears.row * gauge.row_mm
    front, back = ears.beside, ears.beside + ears.stitches
    return (front * gauge.stitch_mm, high), (back * gauge.stitch_mm, high)


def _collar_words(plan: Plan, overlap: int, unit: LengthUnit) -> str:
    rows, girth = plan.rows.collar_rows, show_length(plan.finished.collar_girth, unit)
    if not overlap:
        return f"{girth} long, {rows} rows"
    return f"{girth}, {rows} rows; {overlap} rows lap over"


def pieces_view(plan: Plan, unit: LengthUnit) -> PiecesView:
    """Return the pieces of a plan with their dimensions in the order's unit."""
    rows, done, panel = plan.rows, plan.finished, plan.panel
    overlap = plan.make.buttoned.overlap if plan.make.buttoned else 0
    lap = overlap * plan.gauge.rib_row_mm
    has_crown = rows.crown_row <= rows.hood_rows
    return PiecesView(
        collar=(done.collar_girth + lap, done.collar_height),
        collar_rows=rows.collar_rows + overlap,
        overlap=lap,
        collar_length=_collar_words(plan, overlap, unit),
        collar_height=f"{show_length(done.collar_height, unit)} high",
        outline=panel.outline,
        narrowed=_narrowed(panel.fold),
        ear=_ear(plan),
        crown_at=panel.crown_at if has_crown else None,
        crown=f"crown: row {rows.crown_row}" if has_crown else "",
        front=show_length(done.face_opening / 2, unit),
        nape=show_length(done.nape, unit),
        base=show_length(panel.fold[0][0], unit),
        top=f"top seam, {counted(rows.last_stitches // 2)}",
    )
