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
        collar: length and height of the strip, in mm.
        collar_rows: rows of the strip; they run across it.
        outline: corners of the half-panel in mm, anticlockwise from the throat, x to the back.
        narrowed: points of the fold at which decreases have just been worked.
        crown_at: the point of the fold where the crown begins, or None without a crown.
    """

    collar: tuple[float, float]
    collar_rows: int
    collar_length: str
    collar_height: str
    outline: tuple[Point, ...]
    narrowed: tuple[Point, ...]
    crown_at: Point | None
    crown: str
    front: str
    nape: str
    base: str
    top: str


def _narrowed(fold: tuple[Point, ...]) -> tuple[Point, ...]:
    return tuple(after for before, after in pairwise(fold) if after[0] < before[0])


def pieces_view(plan: Plan, unit: LengthUnit) -> PiecesView:
    """Return the pieces of a plan with their dimensions in the order's unit."""
    rows, done, panel = plan.rows, plan.finished, plan.panel
    has_crown = rows.crown_row <= rows.hood_rows
    return PiecesView(
        collar=(done.collar_girth, done.collar_height),
        collar_rows=rows.collar_rows,
        collar_length=f"{show_length(done.collar_girth, unit)} long, {rows.collar_rows} rows",
        collar_height=f"{show_length(done.collar_height, unit)} high",
        outline=panel.outline,
        narrowed=_narrowed(panel.fold),
        crown_at=panel.crown_at if has_crown else None,
        crown=f"crown: row {rows.crown_row}" if has_crown else "",
        front=show_length(done.face_opening / 2, unit),
        nape=show_length(done.nape, unit),
        base=show_length(panel.fold[0][0], unit),
        top=f"top seam, {counted(rows.last_stitches // 2)}",
    )
