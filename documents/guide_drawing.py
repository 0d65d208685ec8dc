"""The dog's head and neck drawn large, with the tapes an owner lays."""

from dataclasses import dataclass
from typing import Final

from documents import dog_drawing as dog
from documents.guide_words import TAPES
from documents.pen import INK, PAPER, SOFT, Pen
from documents.strokes import Frame

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Laid:
    """A tape on the drawing: where it runs, behind the dog too, and where its sign stands."""

    sign: str
    data: str
    far: str
    disc: Point
    touches: Point


_SPOTS: Final = {
    "1": ((122.0, 132.0), (93.5, 123.0)),
    "2": ((150.0, 108.0), (127.0, 108.0)),
    "3": ((62.0, 38.0), (79.5, 40.0)),
    "4": ((140.0, 90.0), (123.0, 78.0)),
}
"""For each sign the middle of its disc, and the place on the tape that it belongs to."""

MAIN: Final = tuple(
    Laid(tape.sign, dog.TAPES[field], dog.FAR.get(field, ""), *_SPOTS[tape.sign])
    for field, tape in TAPES
)
MORE: Final = (
    Laid("A", "M 106 9.5 C 117 6 129 9 137.5 16.5", "", (140.0, 3.0), (128.0, 10.5)),
    Laid(
        "B",
        "M 98 14 C 106 34 113 58 117.5 81",
        "M 98 14 C 86 34 92 64 117.5 81",
        (132.0, 96.0),
        (117.5, 80.0),
    ),
)
_CROP: Final = (40.0, -4.0, 192.0, 148.0)
_HEAD: Final = (70.0, -6.0, 192.0, 104.0)
HEAD_WIDTH: Final = (_HEAD[2] - _HEAD[0]) / (_HEAD[3] - _HEAD[1])
"""Width of the head's picture as a share of its height."""


def _tape(frame: Frame, laid: Laid, size: float) -> None:
    if laid.far:
        frame.stroke(laid.far, 1.2, SOFT, dog.FAR_DASH)
    frame.stroke(laid.data, dog.TAPE, INK, (dog.WIDTH * 2,))
    frame.stroke(laid.data, dog.TAPE_INSIDE, PAPER)
    frame.stroke(laid.data, dog.TAPE_INSIDE, INK, dog.TAPE_TICKS)
    frame.pen.rule(*frame.at(*laid.disc), *frame.at(*laid.touches), 0.8, INK)
    frame.pen.disc(*frame.at(*laid.disc), laid.sign, size)


def _lines(frame: Frame) -> None:
    back, chest, *_ = dog.BODY
    for data in (back, chest, *dog.HEAD, *dog.FRECKLES):
        frame.stroke(data, dog.LINE)
    frame.fill(dog.EAR, PAPER)
    frame.stroke(dog.EAR, dog.LINE)
    frame.stroke(dog.EAR_FOLD, dog.LINE)
    frame.fill(dog.NOSE)
    frame.fill(dog.EYE)


def _draw(
    pen: Pen,
    left: float,
    top: float,
    height: float,
    crop: tuple[float, float, float, float],
    tapes: tuple[Laid, ...],
) -> None:
    """Draw what lies in a crop of the drawing, and tapes on it."""
    x0, y0, x1, y1 = crop
    scale = height / (y1 - y0)
    frame = Frame(pen, left - x0 * scale, top + y0 * scale, scale)
    pen.canvas.saveState()
    path = pen.canvas.beginPath()
    path.rect(left, top - height, (x1 - x0) * scale, height)
    pen.canvas.clipPath(path, stroke=0, fill=0)
    _lines(frame)
    for laid in tapes:
        _tape(frame, laid, min(12.0, 9.0 * scale))
    pen.canvas.restoreState()


def draw_neck_and_head(pen: Pen, left: float, top: float, height: float) -> None:
    """Draw the four tapes on head and neck, from the upper left corner."""
    _draw(pen, left, top, height, _CROP, MAIN)


def draw_head(pen: Pen, left: float, top: float, height: float) -> None:
    """Draw the two tapes that may be left out on the head, from the upper left corner."""
    _draw(pen, left, top, height, _HEAD, MORE)
