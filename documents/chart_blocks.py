"""A chart cut into pieces that fit a page: bands of rows, and side by side parts of them."""

from collections.abc import Iterator, Sequence
from math import ceil
from typing import Final

from documents.chart_fold import Fold, Line
from documents.chart_piece import NUMBERS, Piece, tall
from documents.chart_signs import TALL
from documents.chart_view import Chart
from documents.flow import Block
from documents.page import WIDTH
from documents.pen import INK, Pen
from documents.setting import heading, paragraph

_GUTTER: Final = 31.0
"""Room at each side for a row's number or its count."""
_TITLE: Final = 64.0
"""Room above a piece for its heading and a remark of three lines."""


def _bands(lines: Sequence[Line], cell: float, room: float) -> Iterator[tuple[Line, ...]]:
    """Yield the lines in bands of about one height, each within the room."""
    count = ceil(tall(lines, cell) / room)
    aim = tall(lines, cell) / count + cell * TALL
    band: list[Line] = []
    for line in lines:
        if band and tall([*band, line], cell) > min(aim, room):
            yield tuple(band)
            band = []
        band.append(line)
    if band:
        yield tuple(band)


def most_across(cell: float) -> int:
    """Return how many stitches stand side by side on a page, a chain of the turn at each end."""
    return int((WIDTH - 2 * _GUTTER) / cell) - 2


def pieces(chart: Chart, cell: float, room: float) -> Iterator[Piece]:
    """Yield the pieces of a chart: band by band from the lowest, each from left to right."""
    parts = ceil(chart.wide / most_across(cell))
    across = ceil(chart.wide / parts)
    least = -chart.wide / 2
    for band in _bands(chart.lines, cell, room - _TITLE - 2 * NUMBERS):
        for part in range(parts):
            low = least + part * across
            yield Piece(band, low, low + across, cell, part + 1, parts)


def _named(chart: Chart, piece: Piece, *, whole: bool) -> str:
    if whole:
        return chart.title
    numbers = [
        number
        for line in piece.lines
        for number in ((line.first, line.last) if isinstance(line, Fold) else (line.number,))
        if number
    ]
    said = f"{chart.title}, rows {min(numbers)}\u2013{max(numbers)}" if numbers else chart.title
    if piece.parts == 1:
        return said
    return f"{said}, part {piece.part} of {piece.parts} from the left"


def _map(pen: Pen, piece: Piece, y: float) -> None:
    """Draw which of the parts side by side this one is."""
    for part in range(piece.parts):
        left = WIDTH - (piece.parts - part) * 13.0
        pen.box(left, y, 11, 9, 0.7)
        if part + 1 == piece.part:
            pen.fill(left, y, 11, 9, INK)


def chart_blocks(chart: Chart, cell: float, room: float) -> Iterator[Block]:
    """Yield the blocks of a chart, each with its heading."""
    found = tuple(pieces(chart, cell, room))
    for place, piece in enumerate(found):
        yield heading(_named(chart, piece, whole=len(found) == 1), size=12, above=6)
        if place == 0:
            yield paragraph(chart.remark, size=9.5, leading=12.5, after=4, keep=True)

        def draw(pen: Pen, top: float, height: float, piece: Piece = piece) -> None:
            if piece.parts > 1:
                _map(pen, piece, top + 4)
            piece.draw(pen, top - height)

        yield Block(piece.height, draw)
