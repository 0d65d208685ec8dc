"""Blocks that many papers share: a head, paragraphs, a ruled heading."""

from typing import Final

from documents.flow import Block
from documents.fonts import BOLD, REGULAR, width
from documents.page import WIDTH
from documents.pen import INK, SOFT, Pen
from documents.text import fit, wrap

BODY: Final = 12.0
"""Least type of a buyer's paper: UKAAF G003 (2019) asks for 12 points or more."""
LEADING: Final = 16.0
MOST_BROKEN: Final = 3
"""Lines that one line of an address may take in a narrow column."""


def largest(text: str, sizes: tuple[float, ...], room: float, font: str = BOLD) -> float:
    """Return the first of falling sizes at which a text fits its room, else the last."""
    return next((size for size in sizes if width(text, font, size) <= room), sizes[-1])


def head(heading: str, below: str, room: float = WIDTH) -> Block:
    """Return the head of a paper: a heavy rule, its heading and a line below it."""
    size = largest(heading, (26.0, 21.0, 17.0, 14.0), room)

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top, WIDTH, top, 1.6, INK)
        with pen.heading(1, heading, top):
            pen.text(0, top - 30, fit(heading, BOLD, size, room), size, BOLD)
        pen.text(0, top - 49, fit(below, REGULAR, BODY, room), BODY, tone=SOFT)

    return Block(60, draw, keep=True)


def together(text: str, font: str, size: float, room: float) -> tuple[str, ...]:
    """Break a text into lines so that no word stands alone on the last one, where that can be."""
    lines = wrap(text, font, size, room)
    if len(lines) == 1 or " " in lines[-1]:
        return lines
    narrower = wrap(text, font, size, room - width(f"{lines[-1]} ", font, size))
    return narrower if len(narrower) == len(lines) else lines


def paragraph(
    text: str,
    *,
    font: str = REGULAR,
    size: float = BODY,
    leading: float = LEADING,
    left: float = 0.0,
    room: float = WIDTH,
    after: float = 4.0,
    keep: bool = False,
) -> Block:
    """Return a text set in as many lines as it needs, with `after` points below it."""
    lines = together(text, font, size, room - left)

    def draw(pen: Pen, top: float, _height: float) -> None:
        for place, line in enumerate(lines):
            pen.text(left, top - size - place * leading, line, size, font)

    return Block(len(lines) * leading + after, draw, keep=keep)


def heading(text: str, *, size: float = 13.0, above: float = 10.0) -> Block:
    """Return a heading with a hairline above it; it stays with what follows."""

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top - above / 2, WIDTH, top - above / 2)
        with pen.heading(2, text, top):
            pen.text(0, top - above - size, fit(text, BOLD, size, WIDTH), size, BOLD)

    return Block(above + size + 6, draw, keep=True)


def columns(
    parts: tuple[tuple[str, ...], ...], lefts: tuple[float, ...], rooms: tuple[float, ...]
) -> Block:
    """Return lists of lines side by side, the first line of each soft: it names the list."""
    set_parts = [
        [piece for line in part for piece in wrap(line, REGULAR, BODY, room, MOST_BROKEN)]
        for part, room in zip(parts, rooms, strict=True)
    ]
    tall = max(len(part) for part in set_parts)

    def draw(pen: Pen, top: float, _height: float) -> None:
        for lines, left in zip(set_parts, lefts, strict=True):
            for place, line in enumerate(lines):
                tone = SOFT if place == 0 else INK
                pen.text(left, top - BODY - place * LEADING, line, BODY, tone=tone)

    return Block(tall * LEADING + 8, draw)
