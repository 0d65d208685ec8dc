"""Swing labels on paper: eight to a sheet, with lines to cut along."""

from functools import partial
from typing import Final

from documents.fonts import BOLD, REGULAR
from documents.label_view import LabelView, Tag
from documents.page import HEIGHT, WIDTH, Label, Paper, make_pdf
from documents.pen import HAIR, INK, SOFT, Pen
from documents.setting import largest
from documents.text import fit, wrap

ACROSS: Final = 2
DOWN: Final = 4
EACH: Final = ACROSS * DOWN
_FOOTER: Final = 9.0
_PAD: Final = 11.0
_HOLE: Final = 6.0
_HEAD: Final = 34.0
_SIZES: Final = (11.0, 10.4, 10.0, 9.6, 9.0, 8.4, 7.8, 7.2)
_GAP: Final = 3.0

Lines = tuple[tuple[str, str], ...]
"""Lines of a label and their fonts; an empty one is a gap."""


def cut(pen: Pen, x1: float, y1: float, x2: float, y2: float) -> None:
    """Draw a line to cut along."""
    pen.canvas.setDash([4, 3])
    pen.rule(x1, y1, x2, y2, 0.7, HAIR)
    pen.canvas.setDash([])


def _cuts(pen: Pen, floor: float, rows: int) -> None:
    wide, high = WIDTH / ACROSS, (HEIGHT - floor) / DOWN
    low = HEIGHT - rows * high
    for column in range(ACROSS + 1):
        cut(pen, column * wide, low, column * wide, HEIGHT)
    for row in range(rows + 1):
        cut(pen, 0, HEIGHT - row * high, WIDTH, HEIGHT - row * high)


def _lines(tag: Tag, size: float, room: float) -> Lines:
    parts = ((tag.caution, BOLD), (tag.fibres, REGULAR), (tag.wash, REGULAR), (tag.maker, REGULAR))
    found: list[tuple[str, str]] = []
    for text, font in parts:
        found += [(line, font) for line in wrap(text, font, size, room) if line]
        found.append(("", font))
    return tuple(found)


def _tall(lines: Lines, size: float) -> float:
    return sum(size * 1.24 if text else _GAP for text, _ in lines)


def _body(tag: Tag, room: float, height: float) -> tuple[float, Lines]:
    """Return the largest size at which all stands on the label, and its lines."""
    for size in _SIZES:
        lines = _lines(tag, size, room)
        if _tall(lines, size) <= height:
            return size, lines
    return _cut_down(tag, room, height)


def _cut_down(tag: Tag, room: float, height: float) -> tuple[float, Lines]:
    """Return the smallest lines, the maker's cut in sight: the caution and washing stay whole."""
    size = _SIZES[-1]
    lines = list(_lines(tag, size, room))
    while _tall(tuple(lines), size) > height:
        del lines[-1]
    if lines and lines[-1][0]:
        text, font = lines[-1]
        lines[-1] = (fit(f"{text}\u2026", font, size, room), font)
    return size, tuple(lines)


def _draw_tag(pen: Pen, view: LabelView, tag: Tag, x: float, top: float, high: float) -> None:
    room = WIDTH / ACROSS - 2 * _PAD
    left = x + _PAD
    named = room - 4 * _HOLE
    size = largest(tag.hood, (14.0, 12.0, 10.0), named)
    pen.text(left, top - 20, fit(tag.hood, BOLD, size, named), size, BOLD)
    pen.text(left, top - 32, fit(tag.dog, REGULAR, 9.6, named - 12), 9.6)
    centre = x + WIDTH / ACROSS - _PAD - _HOLE
    pen.canvas.setStrokeGray(INK)
    pen.canvas.setLineWidth(0.7)
    pen.canvas.circle(centre, top - 15, _HOLE, stroke=1, fill=0)
    pen.centre(centre, top - 30, fit(view.hole, REGULAR, 7, 4 * _HOLE), 7, tone=SOFT)
    body, lines = _body(tag, room, high - _HEAD - 2 * _GAP - 4)
    y = top - _HEAD - _GAP
    for text, font in lines:
        if text:
            y -= body * 1.24
            pen.text(left, y + body * 0.24, text, body, font)
        else:
            y -= _GAP


def _page(pen: Pen, view: LabelView, tags: tuple[Tag, ...], floor: float) -> None:
    high = (HEIGHT - floor) / DOWN
    _cuts(pen, floor, -(-len(tags) // ACROSS))
    for place, tag in enumerate(tags):
        row, column = divmod(place, ACROSS)
        _draw_tag(pen, view, tag, column * WIDTH / ACROSS, HEIGHT - row * high, high)


def render(view: LabelView, paper: Paper) -> bytes:
    """Return the labels as a PDF on A4 or US Letter; equal views give equal bytes."""
    label = Label(title=view.title, author=view.maker, footer=view.footer, footer_size=_FOOTER)
    sheets = [view.tags[first : first + EACH] for first in range(0, len(view.tags), EACH)]
    floor = label.footer_height + 3
    pages = [partial(_page, view=view, tags=tags, floor=floor) for tags in sheets]
    return make_pdf(paper, label, pages)
