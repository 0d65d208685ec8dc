"""The flat pieces drawn to one scale: the collar strip and the folded half-panel."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from documents.fonts import BOLD, REGULAR
from documents.page import WIDTH
from documents.pen import HAIR, INK, SOFT, WASH, Pen, middle
from documents.pieces_view import PiecesView
from documents.text import fit
from sizing.shape import Point

SIZE: Final = 8.0
POINTS_PER_MM: Final = 72 / 25.4
SCALES: Final = (2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100)
"""Denominators that a maker can multiply by on a ruler."""

HIGH: Final = 140.0
"""How high the drawing is."""
LOW: Final = 112.0
"""How high it is where the ticket is full."""
_COLLAR_ROOM: Final = 130.0
_PANEL_ROOM: Final = 76.0
_BESIDE_COLLAR: Final = 74.0
_BESIDE_PANEL: Final = 46.0
"""Height that the words above and below a piece take."""
_PANEL_LEFT: Final = 212.0
_DIMENSION_GAP: Final = 9.0
_LEAST_HATCH: Final = 1.6
_STEP: Final = SIZE + 3.5


@dataclass(frozen=True, slots=True)
class Place:
    """Where a piece lies: its lower left corner on the page and points per mm."""

    x: float
    y: float
    scale: float

    def at(self, point: Point) -> Point:
        """Return the place on the page of a point in mm."""
        return self.x + point[0] * self.scale, self.y + point[1] * self.scale


@dataclass(frozen=True, slots=True)
class Word:
    """A text that belongs to a point of the panel, in mm."""

    point: Point
    text: str
    strong: bool = False


def denominator(pieces: PiecesView, tall: float = HIGH) -> int:
    """Return the n of the scale 1 : n at which both pieces fit their room."""
    wide = max(x for x, _ in pieces.outline)
    high = max(y for _, y in pieces.outline)
    needs = (
        pieces.collar[0] / _COLLAR_ROOM, pieces.collar[1] / (tall - _BESIDE_COLLAR),
        wide / _PANEL_ROOM, high / (tall - _BESIDE_PANEL),
    )  # fmt: skip
    least = max(needs) * POINTS_PER_MM
    return next((scale for scale in SCALES if scale >= least), int(least) + 1)


def _dimension(pen: Pen, start: Point, end: Point) -> None:
    """Draw a dimension line with a cross stroke at each end."""
    upright = start[0] == end[0]
    pen.rule(*start, *end, 0.5, SOFT)
    for x, y in (start, end):
        across = (x - 2.5, y, x + 2.5, y) if upright else (x, y - 2.5, x, y + 2.5)
        pen.rule(*across, 0.5, SOFT)


def _hatch(pen: Pen, place: Place, pieces: PiecesView, wide: float, high: float) -> None:
    """Draw the rib: a line for each row, or each second one and so on where they crowd."""
    gap = wide / pieces.collar_rows
    every = next(n for n in (1, 2, 5, 10, 20, 50, 100, 1000) if gap * n >= _LEAST_HATCH)
    for row in range(every, pieces.collar_rows, every):
        x = place.x + row * gap
        pen.rule(x, place.y, x, place.y + high, 0.3, HAIR)


def _collar(pen: Pen, place: Place, pieces: PiecesView) -> None:
    wide, high = (side * place.scale for side in pieces.collar)
    _hatch(pen, place, pieces, wide, high)
    pen.box(place.x, place.y, wide, high, 1.0)
    if pieces.overlap:  # what laps over, marked off by the heaviest line of the strip
        x = place.x + wide - pieces.overlap * place.scale
        pen.rule(x, place.y - 3, x, place.y + high + 3, 1.6, INK)
    below = place.y - _DIMENSION_GAP
    _dimension(pen, (place.x, below), (place.x + wide, below))
    pen.text(place.x, below - SIZE - 3, pieces.collar_length, SIZE, BOLD)
    side = place.x + wide + _DIMENSION_GAP
    _dimension(pen, (side, place.y), (side, place.y + high))
    pen.text(place.x, below - 2 * SIZE - 6, pieces.collar_height, SIZE, BOLD)


def _outline(pen: Pen, place: Place, pieces: PiecesView) -> None:
    path = pen.canvas.beginPath()
    first, *rest = (place.at(point) for point in pieces.outline)
    path.moveTo(*first)
    for spot in rest:
        path.lineTo(*spot)
    path.close()
    pen.canvas.setFillGray(WASH)
    pen.canvas.setStrokeGray(INK)
    pen.canvas.setLineWidth(1.0)
    pen.canvas.drawPath(path, stroke=1, fill=1)
    front, brow = place.at(pieces.outline[0]), place.at(pieces.outline[-1])
    pen.rule(*front, *brow, 2.4, INK)  # the opening for the face, the heaviest line
    pen.canvas.setFillGray(INK)
    for point in pieces.narrowed:
        pen.canvas.circle(*place.at(point), 1.1, stroke=0, fill=1)
    if pieces.ear:
        (left, high), (right, _) = (place.at(point) for point in pieces.ear)
        pen.rule(left, high, right, high, 1.8, INK)
        for x in (left, right):
            pen.rule(x, high - 3, x, high + 3, 1.0, INK)


def _left_words(pen: Pen, place: Place, pieces: PiecesView, high: float) -> None:
    """Write the front edge's length left of the panel."""
    side = place.x - _DIMENSION_GAP
    _dimension(pen, (side, place.y), (side, place.y + high))
    centre = place.y + high / 2
    pen.right(side - 6, centre + 2, "front edge", SIZE, tone=SOFT)
    pen.right(side - 6, centre - SIZE - 1, pieces.front, SIZE, BOLD)


def _leader(pen: Pen, spot: Point, x: float, y: float, word: Word) -> None:
    """Write a text right of the panel, tied to a point of its edge by a hairline."""
    pen.rule(spot[0] + 2.5, spot[1], x - 3, y, 0.4, HAIR)
    font, tone = (BOLD, INK) if word.strong else (REGULAR, SOFT)
    pen.text(x, middle(y, SIZE), fit(word.text, font, SIZE, WIDTH - x), SIZE, font, tone)


def _words(pieces: PiecesView) -> Iterator[Word]:
    """Yield top seam, decreases, crown and nape from the top downwards."""
    yield Word(pieces.outline[-2], pieces.top)
    if pieces.narrowed:
        yield Word(pieces.narrowed[-1 - len(pieces.narrowed) // 3], "dots: decreases")
    if pieces.ear:
        yield Word(pieces.ear[1], "ear opening")
    ends = pieces.crown_at or pieces.outline[-2]
    if pieces.crown_at:
        yield Word(pieces.crown_at, pieces.crown, strong=True)
    corner = pieces.outline[1]
    yield Word((corner[0], (corner[1] + ends[1]) / 2), f"nape {pieces.nape}", strong=True)


def _apart(wanted: list[float], floor: float) -> list[float]:
    """Return falling heights moved as little as keeps them a step apart and above the floor."""
    heights: list[float] = []
    for y in wanted:
        heights.append(min(y, heights[-1] - _STEP) if heights else y)
    least = floor
    for place in reversed(range(len(heights))):
        heights[place] = max(heights[place], least)
        least = heights[place] + _STEP
    return heights


def _right_words(pen: Pen, place: Place, pieces: PiecesView) -> None:
    """Write the words right of the panel, each as near to its point as the others let it."""
    x = place.at(pieces.outline[1])[0] + 16
    words = sorted(_words(pieces), key=lambda word: -word.point[1])
    wanted = [place.at(word.point)[1] for word in words]
    for word, y in zip(words, _apart(wanted, place.y + SIZE / 2), strict=True):
        _leader(pen, place.at(word.point), x, y, word)


def _panel(pen: Pen, place: Place, pieces: PiecesView) -> None:
    high = pieces.outline[-1][1] * place.scale
    wide = pieces.outline[1][0] * place.scale
    _outline(pen, place, pieces)
    below = place.y - _DIMENSION_GAP
    _dimension(pen, (place.x, below), (place.x + wide, below))
    pen.text(place.x, below - SIZE - 3, f"{pieces.base}, half the collar", SIZE, BOLD)
    _left_words(pen, place, pieces, high)
    _right_words(pen, place, pieces)


def draw_pieces(
    pen: Pen, left: float, top: float, pieces: PiecesView, height: float = HIGH
) -> None:
    """Draw both pieces with their dimensions, `height` points high, from the upper left."""
    n = denominator(pieces, height)
    scale = POINTS_PER_MM / n
    pen.text(left, top - SIZE - 2, "Collar strip, flat", SIZE + 1, BOLD)
    pen.text(
        left + _PANEL_LEFT - 60, top - SIZE - 2, "Hood, folded at the centre back", SIZE + 1, BOLD
    )
    pen.text(left, top - height + 4, f"scale 1 : {n}", SIZE, tone=SOFT)
    floor = top - height + 26
    tall = pieces.collar[1] * scale
    _collar(pen, Place(left, top - 22 - tall, scale), pieces)
    _panel(pen, Place(left + _PANEL_LEFT, floor, scale), pieces)
