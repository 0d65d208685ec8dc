"""Yarn, hook, gauge, time, the pieces and the key: what is read before the first stitch."""

from typing import Final

from documents.drawing import HIGH, LOW, draw_pieces
from documents.flow import Block
from documents.fonts import BOLD, REGULAR
from documents.page import WIDTH
from documents.pen import SOFT, Pen
from documents.text import wrap, wrap_runs
from documents.ticket_cells import Density
from documents.ticket_table import TABLE_KEY
from documents.ticket_texts import Facts
from documents.ticket_view import TicketView

_COLUMN: Final = 146.0
_PIECES_LEFT: Final = 157.0
_LEADING: Final = 1.295


def _lines(facts: Facts, flag: str) -> tuple[tuple[str, str, float], ...]:
    """Return the lines of the column: text, font and the space above it."""
    yarn, *rest = facts.yarn
    return (
        (yarn, BOLD, 0),
        *((line, REGULAR, 0) for line in rest),
        *((line, REGULAR, 0) for line in facts.amount),
        (f"Hook {facts.hook}", BOLD, 5),
        (f"{facts.gauge_word} over 10 cm", BOLD, 5),
        *((line, REGULAR, 0) for line in facts.gauge),
        *(((flag, BOLD, 0),) if flag else ()),
    )


def _set(facts: Facts, flag: str, size: float, most: int) -> tuple[tuple[str, str, float], ...]:
    """Return the lines broken to the column; a broken line continues without space above."""
    return tuple(
        (part, font, above if place == 0 else 0)
        for text, font, above in _lines(facts, flag)
        for place, part in enumerate(wrap(text, font, size, _COLUMN, most))
    )


def _column(pen: Pen, top: float, lines: tuple[tuple[str, str, float], ...], size: float) -> None:
    y = top - 10
    for text, font, above in lines:
        y -= above
        pen.text(0, y, text, size, font)
        y -= size * _LEADING


def facts_block(view: TicketView, density: Density) -> Block:
    """Return the yarn, hook and gauge beside the drawing of the pieces."""
    flag = "untested: see the swatch" if view.swatch else ""
    size, tall, most = (8.0, LOW, 2) if density.tight else (9.5, HIGH, 3)
    lines = _set(view.facts, flag, size, most)
    height = max(tall, sum(size * _LEADING + above for _, _, above in lines))

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top, WIDTH, top)
        _column(pen, top - 6, lines, size)
        draw_pieces(pen, _PIECES_LEFT, top - 6, view.pieces, tall)

    return Block(height + 10, draw)


def small_block(view: TicketView, density: Density) -> Block:
    """Return the time and the abbreviations in the order's terms, and how short rows are read."""
    size = min(8.5, density.size) if density.tight else 8.5
    leading = size * 1.295
    notes = [view.facts.time, *view.hand_notes]
    notes += [view.short_key] if density.short else []
    notes += [TABLE_KEY] if density.tabled else []
    time = tuple(line for note in notes for line in wrap(note, REGULAR, size, WIDTH))
    runs = [(f"{view.terms}:", BOLD)]
    for short, long in view.key:
        runs += [
            (short, BOLD),
            (f"{long};" if (short, long) != view.key[-1] else f"{long}.", REGULAR),
        ]
    key = wrap_runs(tuple(runs), size, WIDTH)

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top, WIDTH, top)
        for place, line in enumerate(time):
            pen.text(0, top - 12 - place * leading, line, size, tone=SOFT)
        pen.lines(0, top - 14 - len(time) * leading, key, size, leading)

    return Block((len(time) + len(key)) * leading + 12, draw)
