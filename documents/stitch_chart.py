"""The stitch chart on paper: as large as few pages allow, never too small to read."""

from collections.abc import Iterator
from typing import Final

from documents.chart_blocks import chart_blocks
from documents.chart_rows import Sign, Stitch
from documents.chart_signs import TALL, Grid, draw_stitches
from documents.chart_view import ChartView
from documents.flow import Block, Page, beside, flowed, paginate, space
from documents.fonts import REGULAR
from documents.page import WIDTH, Label, Paper
from documents.pen import Pen
from documents.setting import head, paragraph
from documents.text import wrap

CELLS: Final = (12.0, 11.0, 10.0, 9.0, 8.0, 7.2)
"""Sides of a stitch's cell in points; 7.2 is 2.5 mm, the least that is counted with ease."""
_SIZE: Final = 9.5
_LEADING: Final = 12.5
_KEY_CELL: Final = 11.0
_KEY_LEFT: Final = 30.0
_COLUMN: Final = (WIDTH - 16) / 2


def _shown(sign: Sign) -> tuple[Stitch, ...]:
    """Return a sign as it stands in the key."""
    if sign is Sign.PART:
        return Stitch(sign, -0.5, (0.0,)), Stitch(sign, 0.5, (0.0,))
    return (Stitch(sign, 0.0, (-0.5, 0.5)),)


def _key_line(sign: Sign, text: str, room: float) -> Block:
    lines = wrap(text, REGULAR, _SIZE, room - _KEY_LEFT)
    tall = max(len(lines) * _LEADING, _KEY_CELL * TALL) + 3

    def draw(pen: Pen, top: float, _height: float) -> None:
        grid = Grid(pen, 12.0, top - _KEY_CELL * TALL, _KEY_CELL)
        draw_stitches(grid, _shown(sign), leaders=sign is Sign.PART)
        for place, line in enumerate(lines):
            pen.text(_KEY_LEFT, top - _SIZE - 1 - place * _LEADING, line, _SIZE)

    return Block(tall, draw)


def _blocks(view: ChartView, cell: float, room: float) -> Iterator[Block]:
    yield head(view.heading, view.below)
    for line in view.reading:
        yield paragraph(line, size=_SIZE, leading=_LEADING, after=1)
    yield space(6)
    half = (len(view.key) + 1) // 2
    left, right = (
        [_key_line(sign, text, _COLUMN) for sign, text in part]
        for part in (view.key[:half], view.key[half:])
    )
    yield beside(left, right, WIDTH - _COLUMN)
    for chart in view.charts:
        yield space(6)
        yield from chart_blocks(chart, cell, room)


def _set(view: ChartView, room: float) -> tuple[Page, ...]:
    """Return the fewest pages, and of those with equally few the largest signs."""
    tries = (paginate(tuple(_blocks(view, cell, room)), room) for cell in CELLS)
    return min(tries, key=len)


def render(view: ChartView, paper: Paper) -> bytes:
    """Return the chart as a PDF on A4 or US Letter; equal views give equal bytes."""
    label = Label(title=view.title, author=view.maker, footer=view.footer, footer_size=9)
    return flowed(paper, label, _set(view, label.room))
