"""The drawings of the pages: the dog with its tapes, and the flat pieces to scale.

The dog is the drawing of the papers; the pieces are drawn from the view that the papers use.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Final

from documents.dog_drawing import dog_svg
from documents.pieces_view import PiecesView
from sizing.shape import Point

WIDTH: Final = 380.0
_PANEL_LEFT: Final = 92.0
_PANEL_ROOM: Final = (160.0, 240.0)
_COLLAR_LEFT: Final = 8.0
_COLLAR_ROOM: Final = (290.0, 150.0)
_GAP: Final = 10.0
_LINE: Final = 16.0
_TOP: Final = 14.0
_LEAST_HATCH: Final = 3.0


@dataclass(frozen=True, slots=True)
class Word:
    """A text in a drawing; `strong` for a figure to measure by."""

    x: float
    y: float
    text: str
    anchor: str = "start"
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing of the pieces, in units of its own; y runs downwards.

    Attributes:
        panel: the corners of the folded half-panel.
        front: the front edge, the opening for the face.
        dots: where decreases have just been worked.
        collar: the corner, width and height of the strip.
        ribs: the rows of the strip.
        cuts: strong lines: where an overlap begins, and the opening for an ear.
        measures: dimension lines with their cross strokes.
        leaders: hairlines from a point to its word.
    """

    height: float
    panel: tuple[Point, ...]
    front: tuple[Point, Point]
    dots: tuple[Point, ...]
    collar: tuple[float, float, float, float]
    ribs: tuple[float, ...]
    cuts: tuple[tuple[Point, Point], ...]
    measures: tuple[tuple[Point, Point], ...]
    leaders: tuple[tuple[Point, Point], ...]
    words: tuple[Word, ...]


@cache
def dog() -> str:
    """Return the seated dog as inline SVG, dressed by the style sheet and not by itself."""
    return dog_svg()


def _scale(pieces: PiecesView) -> float:
    wide = max(x for x, _ in pieces.outline)
    high = max(y for _, y in pieces.outline)
    return min(
        _PANEL_ROOM[0] / wide,
        _PANEL_ROOM[1] / high,
        _COLLAR_ROOM[0] / pieces.collar[0],
        _COLLAR_ROOM[1] / pieces.collar[1],
    )


def _measure(start: Point, end: Point) -> Iterator[tuple[Point, Point]]:
    """Yield a dimension line and the cross strokes at its ends."""
    yield start, end
    upright = start[0] == end[0]
    for x, y in (start, end):
        yield ((x - 4, y), (x + 4, y)) if upright else ((x, y - 4), (x, y + 4))


def _marked(pieces: PiecesView, panel: tuple[Point, ...], crown: Point | None) -> list[Word]:
    """Return the words right of the panel, each at the height of its point, none on another."""
    side = max(x for x, _ in panel) + 2 * _GAP
    bottom, top = panel[1][1], panel[-2][1]
    middle = (bottom + (crown[1] if crown else top)) / 2
    words = [Word(side, top, pieces.top)]
    if crown:
        words.append(Word(side, crown[1], pieces.crown))
    words.append(Word(side, middle, f"nape {pieces.nape}", strong=True))
    placed = [words[0]]
    for word in words[1:]:
        y = max(word.y, placed[-1].y + _LINE)
        placed.append(Word(side, y, word.text, strong=word.strong))
    return placed


def _ribs(pieces: PiecesView, left: float, wide: float) -> tuple[float, ...]:
    """Return where the rows of the strip run; each second one and so on where they crowd."""
    gap = wide / pieces.collar_rows
    every = next((n for n in (1, 2, 5, 10, 20, 50) if gap * n >= _LEAST_HATCH), 100)
    return tuple(left + row * gap for row in range(every, pieces.collar_rows, every))


def _near(panel: tuple[Point, ...], y: float) -> Point:
    """Return the point of the fold at a height."""
    fold = panel[1:-1]
    for (x1, y1), (x2, y2) in pairwise(fold):
        if y2 <= y <= y1 and y1 != y2:
            return x1 + (x2 - x1) * (y1 - y) / (y1 - y2), y
    return fold[-1]


def _cuts(
    pieces: PiecesView, at: Callable[[Point], Point], lap: Point, tall: float
) -> Iterator[tuple[Point, Point]]:
    """Yield the strong lines; `lap` is where the overlap begins, at the strip's upper edge."""
    if pieces.overlap:
        yield (lap[0], lap[1] - 4), (lap[0], lap[1] + tall + 4)
    if pieces.ear:
        yield at(pieces.ear[0]), at(pieces.ear[1])


def figure(pieces: PiecesView) -> Figure:
    """Return the half-panel above and the collar strip below it, both to one scale."""
    scale = _scale(pieces)
    floor = _TOP + max(y for _, y in pieces.outline) * scale

    def at(point: Point) -> Point:
        return _PANEL_LEFT + point[0] * scale, floor - point[1] * scale

    panel = tuple(map(at, pieces.outline))
    crown = at(pieces.crown_at) if pieces.crown_at else None
    beside = _marked(pieces, panel, crown)
    below = floor + _GAP
    strip = below + 3 * _LINE
    wide, tall = (side * scale for side in pieces.collar)
    ruler = strip + tall + _GAP
    edge = _COLLAR_LEFT + wide + _GAP
    front = _PANEL_LEFT - _GAP
    centre = (_TOP + floor) / 2
    height, _, high = pieces.collar_height.rpartition(" ")
    words = (
        Word(front - 6, centre - 3, "front edge", "end"),
        Word(front - 6, centre + 12, pieces.front, "end", strong=True),
        Word(_PANEL_LEFT, below + _LINE, f"{pieces.base}, half the collar", strong=True),
        *(Word(word.x, word.y + 4, word.text, strong=word.strong) for word in beside),
        Word(_COLLAR_LEFT, ruler + _LINE, pieces.collar_length, strong=True),
        # In two lines: beside the longest strip there is no room for one.
        Word(edge + 8, strip + tall / 2 - 3, height, strong=True),
        Word(edge + 8, strip + tall / 2 + 12, high),
    )
    points = [_near(panel, word.y) for word in beside]
    return Figure(
        height=ruler + 2 * _LINE,
        panel=panel,
        front=(panel[0], panel[-1]),
        dots=tuple(map(at, pieces.narrowed)),
        collar=(_COLLAR_LEFT, strip, wide, tall),
        ribs=_ribs(pieces, _COLLAR_LEFT, wide),
        cuts=tuple(_cuts(pieces, at, (_COLLAR_LEFT + wide - pieces.overlap * scale, strip), tall)),
        measures=(
            *_measure((front, _TOP), (front, floor)),
            *_measure((_PANEL_LEFT, below), (panel[1][0], below)),
            *_measure((_COLLAR_LEFT, ruler), (_COLLAR_LEFT + wide, ruler)),
            *_measure((edge, strip), (edge, strip + tall)),
        ),
        leaders=tuple(
            ((x + 3, y), (word.x - 4, word.y)) for word, (x, y) in zip(beside, points, strict=True)
        ),
        words=words,
    )
