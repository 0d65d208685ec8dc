"""The parts of the care sheet as blocks of a page."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from documents.care_view import CareView, Topic
from documents.dog_picture import draw_hooded_dog
from documents.flow import Block
from documents.fonts import BOLD, REGULAR, width
from documents.page import WIDTH
from documents.pen import INK, SOFT, Pen
from documents.text import Line, fit, wrap_runs

_INDENT: Final = 1.0
_HEADINGS: Final = (26, 21, 17)
_PICTURE: Final = 118.0
_BESIDE_PICTURE: Final = 3
"""Items of the first topic that the picture reaches down to."""
_WHOLE: Final = 4
"""Topics of up to so many items are never broken between two pages."""
_ALWAYS_LISTED: Final = 2
"""The first topics say what never to do and when to stop: they are never run together."""


@dataclass(frozen=True, slots=True)
class Spacing:
    """Leading, space between items and between topics, as shares of the type size.

    Attributes:
        run_in: topics of up to so many items have their heading in the line of their text.
    """

    leading: float
    items: float
    topics: float
    run_in: int = 0


@dataclass(frozen=True, slots=True)
class Setting:
    """A spacing at a type size, in points."""

    size: float
    spacing: Spacing

    @property
    def leading(self) -> float:
        """Return the distance of two baselines."""
        return self.size * self.spacing.leading

    @property
    def items(self) -> float:
        """Return the space after an item."""
        return self.size * self.spacing.items

    @property
    def topics(self) -> float:
        """Return the space above a topic."""
        return self.size * self.spacing.topics

    @property
    def beside(self) -> float:
        """Return the room beside the picture."""
        return WIDTH - _PICTURE


def head(view: CareView, at: Setting) -> Block:
    """Return the heading, with the dog in its hood beside it."""
    room = at.beside

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top, WIDTH, top, 1.6, INK)
        draw_hooded_dog(pen, WIDTH - _PICTURE * 0.86, top - 8, _PICTURE)
        sizes = (size for size in _HEADINGS if width(view.heading, BOLD, size) <= room)
        size = max(next(sizes, 15), at.size)
        with pen.heading(1, view.heading, top):
            pen.text(0, top - 30, fit(view.heading, BOLD, size, room), size, BOLD)
        with pen.structure.element("P"):
            pen.text(0, top - 34 - at.size * 1.15, view.subheading, at.size, tone=SOFT)

    return Block(40 + at.size * 1.3, draw, keep=True)


def _set(text: str, font: str, size: float, room: float) -> tuple[Line, ...]:
    return wrap_runs(((text, font),), size, room)


def _item(
    line: str, at: Setting, room: float, *, loud: bool, keep: bool, place: int | None
) -> Block:
    """Return an item of a list, at its place in it, or a paragraph where it has none."""
    listed = place is not None
    font = BOLD if loud else REGULAR
    indent = at.size * _INDENT if listed else 0.0
    lines = _set(line, font, at.size, room - indent)

    def draw(pen: Pen, top: float, _height: float) -> None:
        if listed:
            pen.fill(1, top - at.size * 0.8, at.size * 0.3, at.size * 0.3, INK)
        tree = pen.structure
        with tree.item(first=place == 0) if listed else tree.element("P"):
            pen.lines(indent, top - at.size, lines, at.size, at.leading)

    return Block(len(lines) * at.leading + at.items, draw, keep=keep)


def _ruled(pen: Pen, top: float, at: Setting, *, first: bool) -> None:
    if not first:
        line = top - at.topics * 0.6
        pen.rule(0, line, WIDTH, line)


def _run_in(topic: Topic, at: Setting) -> Block:
    """Return a topic as one paragraph that begins with its heading."""
    font = BOLD if topic.loud else REGULAR
    title = f"{topic.title}. "
    *above, last = (run for line in _set(title, BOLD, at.size, WIDTH) for run, _ in line)
    indent = width(f"{last} ", BOLD, at.size)
    lines = wrap_runs(((" ".join(topic.lines), font),), at.size, WIDTH, indent)
    rows = len(above) + len(lines)

    def draw(pen: Pen, top: float, _height: float) -> None:
        _ruled(pen, top, at, first=False)
        base = top - at.topics - at.size
        with pen.heading(2, topic.title, top):
            heads = tuple(((part, BOLD),) for part in (*above, f"{last} "))
            pen.lines(0, base, heads, at.size, at.leading)
        base -= len(above) * at.leading
        with pen.structure.element("P"):
            pen.lines(0, base, lines, at.size, at.leading, indent)

    return Block(at.topics + rows * at.leading + at.items, draw)


def topic_blocks(topic: Topic, at: Setting, place: int) -> Iterator[Block]:
    """Yield a topic; the first one stands beside the picture and has no rule above."""
    first, listed = place == 0, len(topic.lines) > 1
    if len(topic.lines) <= at.spacing.run_in and place >= _ALWAYS_LISTED:
        yield _run_in(topic, at)
        return

    above = at.items if first else at.topics  # the heading of the sheet has air of its own
    title = _set(topic.title, BOLD, at.size, at.beside if first else WIDTH)

    def draw(pen: Pen, top: float, _height: float) -> None:
        _ruled(pen, top, at, first=first)
        with pen.heading(2, topic.title, top):
            pen.lines(0, top - above - at.size, title, at.size, at.leading)

    yield Block(above + len(title) * at.leading, draw, keep=True)
    whole = len(topic.lines) <= _WHOLE
    for item, line in enumerate(topic.lines):
        keep = item == 0 if not whole else item < len(topic.lines) - 1
        room = at.beside if first and item < _BESIDE_PICTURE else WIDTH
        place_in = item if listed else None
        yield _item(line, at, room, loud=topic.loud, keep=keep, place=place_in)


def _column(lines: tuple[str, ...], at: Setting) -> tuple[tuple[Line, ...], ...]:
    """Return lines of which the first one stands out, each wrapped to half the width."""
    room = WIDTH / 2 - 10
    return tuple(
        _set(line, REGULAR if place else BOLD, at.size, room) for place, line in enumerate(lines)
    )


def _draw_column(
    pen: Pen, x: float, base: float, column: tuple[tuple[Line, ...], ...], at: Setting
) -> None:
    for place, lines in enumerate(column):
        with pen.structure.item(first=place == 0):
            pen.lines(x, base, lines, at.size, at.leading)
        base -= len(lines) * at.leading


def ending(view: CareView, at: Setting) -> Block:
    """Return who made the hood, what it is made of, and what it is not."""
    columns = _column(view.maker, at), _column(view.hood, at)
    below = _set(" ".join(view.closing), REGULAR, at.size, WIDTH)
    rows = max(sum(map(len, column)) for column in columns)
    above = at.topics + 2

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top - above + 3, WIDTH, top - above + 3, 1.2, INK)
        base = top - above - at.size
        for x, column in zip((0.0, WIDTH / 2 + 10), columns, strict=True):
            _draw_column(pen, x, base, column, at)
        with pen.structure.element("P"):
            pen.lines(0, base - rows * at.leading - at.items, below, at.size, at.leading)

    return Block(above + (rows + len(below)) * at.leading + at.items, draw)
