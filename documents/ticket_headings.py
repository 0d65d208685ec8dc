"""What stands above the rows of a section, and once more where they run on to another page."""

from documents.flow import Block
from documents.fonts import BOLD, REGULAR, width
from documents.page import WIDTH
from documents.pen import INK, Pen
from documents.text import Line, wrap, wrap_phrases, wrap_runs
from documents.ticket_cells import Density
from documents.ticket_rows import Pair, Section
from documents.ticket_table import Table


def unsaid(section: Section, density: Density) -> str:
    """Return what is left out of each plain row of a pair, or nothing."""
    pairs = (item for item in section.items if isinstance(item, Pair))
    pair = None if density.plain_said or density.short else next(pairs, None)
    return f"Rows without a sentence: {pair.second.text}" if pair else ""


def heading(section: Section, density: Density, room: float) -> Block:
    """Return a section's heading, and with it what is done before its rows."""
    said = " ".join(filter(None, (section.opening, unsaid(section, density))))
    if density.tight:
        return _tight(section.title, said, density, room)
    lines = wrap(said, REGULAR, density.size, room) if said else ()

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top - 5, room, top - 5, 1.2, INK)
        with pen.heading(2, section.title, top):
            pen.text(0, top - 19, section.title, 13, BOLD)
        for place, line in enumerate(lines):
            pen.text(0, top - 32 - place * density.leading, line, density.size)

    return Block(25 + len(lines) * density.leading, draw, keep=True)


def _tight(title: str, said: str, density: Density, room: float) -> Block:
    """Return a heading with what is done before the rows beginning on the same line."""
    size = density.size + 2
    indent = width(title, BOLD, size) + size * 0.7
    lines = wrap_runs(((said, REGULAR),), density.size, room, indent) if said else ((),)

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top - 2, room, top - 2, 1.2, INK)
        base = top - 3 - size
        with pen.heading(2, title, top):
            pen.text(0, base, title, size, BOLD)
        pen.lines(0, base, lines, density.size, density.leading, indent)

    return Block(6 + size + (len(lines) - 1) * density.leading, draw, keep=True)


def table_heading(table: Table, density: Density) -> Block:
    """Return the sentences of a section's rows; they stay with the rows below."""
    return _phrases(tuple(table.phrases), density)


def running_heading(section: Section, table: Table | None, density: Density) -> Block | None:
    """Return what is said again where the rows run on to another page; None where nothing is."""
    plain = unsaid(section, density)
    said: tuple[Line, ...] = (((plain, REGULAR),),) if plain else ()
    if table:
        said = tuple(table.phrases)
    if not said:
        return None
    return _phrases((((f"{section.title}, continued.", BOLD),), *said), density)


def _phrases(phrases: tuple[Line, ...], density: Density) -> Block:
    lines = wrap_phrases(phrases, density.size, WIDTH)

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.lines(0, top - density.size, lines, density.size, density.leading)

    return Block(len(lines) * density.leading + 3, draw, keep=True)
