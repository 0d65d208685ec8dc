"""The seated dog on paper."""

from typing import Final

from documents import dog_drawing as dog
from documents.pen import INK, PAPER, SOFT, Pen
from documents.strokes import Frame
from sizing.dogs import Field

_SMALL: Final = 0.45
"""Points per drawing unit below which the numbers would lie over each other."""


def _tape(frame: Frame, field: Field) -> None:
    """Draw a measuring tape: a black band, a white face in it, and its ticks."""
    data = dog.TAPES[field]
    if field in dog.FAR:
        frame.stroke(dog.FAR[field], 1.0, SOFT, dog.FAR_DASH)
    frame.stroke(data, dog.TAPE, INK, (dog.WIDTH * 2,))
    frame.stroke(data, dog.TAPE_INSIDE, PAPER)
    frame.stroke(data, dog.TAPE_INSIDE, INK, dog.TAPE_TICKS)
    number, place = dog.NUMBERS[field]
    frame.pen.disc(*frame.at(*place), number, 7.5 if frame.scale > _SMALL else 7.0)


def _dog(pen: Pen, left: float, top: float, height: float) -> Frame:
    frame = Frame(pen, left, top, height / dog.HEIGHT)
    for data in dog.lines():
        frame.stroke(data, dog.LINE)
    frame.fill(dog.EAR, PAPER)
    frame.stroke(dog.EAR, dog.LINE)
    frame.stroke(dog.EAR_FOLD, dog.LINE)
    frame.fill(dog.NOSE)
    frame.fill(dog.EYE)
    return frame


def draw_measured_dog(pen: Pen, left: float, top: float, height: float) -> None:
    """Draw the dog with its four tapes, `height` points tall, from its upper left corner."""
    frame = _dog(pen, left, top, height)
    for field in Field:
        _tape(frame, field)


def draw_hooded_dog(pen: Pen, left: float, top: float, height: float) -> None:
    """Draw the dog with its hood on, `height` points tall, from its upper left corner."""
    frame = _dog(pen, left, top, height)
    frame.fill(dog.HOOD, PAPER)
    frame.stroke(dog.HOOD, dog.LINE)
    for data in dog.HOOD_LINES:
        frame.stroke(data, dog.LINE * 0.6)
