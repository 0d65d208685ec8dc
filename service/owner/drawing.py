"""Our dog seen close, with the one tape that is to be laid: a picture for each measurement."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from html import escape
from typing import Final

from documents.dog_drawing import EAR, EAR_FOLD, EYE, FAR, NOSE, TAPES, lines
from sizing.dogs import Field

CROWN: Final = "crown_length"
HEAD: Final = "head_girth"


@dataclass(frozen=True, slots=True)
class Close:
    """What a picture shows: a part of the dog's drawing, and the tape on it.

    Attributes:
        box: the corner, width and height of the part, in the drawing's units.
        tape: where the tape lies in sight.
        far: where it goes on behind, or nothing.
        ends: where it begins and ends, for a length that does not go round.
    """

    box: tuple[float, float, float, float]
    tape: str
    far: str = ""
    ends: tuple[tuple[float, float], ...] = ()


CLOSE: Final = {
    Field.NECK_LENGTH.value: Close(
        (30, 50, 130, 92), TAPES[Field.NECK_LENGTH], ends=((101, 88), (92, 126))
    ),
    Field.NECK_GIRTH.value: Close(
        (30, 50, 130, 92), TAPES[Field.NECK_GIRTH], FAR[Field.NECK_GIRTH]
    ),
    Field.NAPE_LENGTH.value: Close(
        (48, -4, 130, 92), TAPES[Field.NAPE_LENGTH], ends=((75.5, 66), (106, 9.5))
    ),
    Field.FACE_GIRTH.value: Close(
        (62, -2, 130, 92), TAPES[Field.FACE_GIRTH], FAR[Field.FACE_GIRTH]
    ),
    CROWN: Close(
        (62, -10, 130, 92), "M 106 9.5 C 118 6 132 9 140.5 20", ends=((106, 9.5), (140.5, 20))
    ),
    HEAD: Close(
        (48, -4, 130, 92), "M 86 31 C 98 50 112 68 128 76.5", "M 86 31 C 108 38 122 56 128 76.5"
    ),
}


def _path(data: str, kind: str) -> str:
    return f'<path class="{kind}" d="{data}"/>'


def _tape(close: Close) -> Iterator[str]:
    if close.far:
        yield _path(close.far, "tape-far")
    for kind in ("tape-edge", "tape-face", "tape-ticks"):
        yield _path(close.tape, kind)
    for x, y in close.ends:
        yield f'<circle class="tape-end" cx="{x:g}" cy="{y:g}" r="4"/>'


@cache
def close_svg(name: str, label: str) -> str:
    """Return a picture as one inline `<svg>`; its lines take their looks from the style sheet.

    Args:
        name: of the measurement.
        label: what the picture shows, for who cannot see it.
    """
    close = CLOSE[name]
    left, top, wide, high = close.box
    dog = "".join(_path(data, "dog-line") for data in lines())
    dog += _path(EAR, "dog-ear") + _path(EAR_FOLD, "dog-line")
    dog += _path(NOSE, "dog-dark") + _path(EYE, "dog-dark")
    return (
        f'<svg class="close-dog" role="img" viewBox="{left:g} {top:g} {wide:g} {high:g}"'
        f' aria-label="{escape(label)}">{dog}<g class="tape">{"".join(_tape(close))}</g></svg>'
    )
