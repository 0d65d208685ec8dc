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
from documents.text import fit, wrap, wrap_runs

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
        pen.text(0, top - 30, fit(view.heading, BOLD, size, room), size, BOLD)
        pen.text(0, top - 34 - at.size * 1.15, view.subheading, at.size, tone=SOFT)

    return Block(40 + at.size * 1.3, draw, keep=True)


def _item(line: str, at: Setting, room: float, *, listed: bool, loud: bool, keep: bool) -> Block:
    font = BOLD if loud else REGULAR
    indent = at.size * _INDENT if listed else 0.0
    lines = wrap(line, font, at.size, room - indent)

    def draw(pen: Pen, top: float, _height: float) -> None:
        if listed:
            pen.fill(1, top - at.size * 0.8, at.size * 0.3, at.size * 0.3, INK)
        for place, part in enumerate(lines):
            pen.text(indent, top - at.size - place * at.leading, part, at.size, font)

    return Block(len(lines) * at.leading + at.items, draw, keep=keep)


def _ruled(pen: Pen, top: float, at: Setting, *, first: bool) -> None:
    if not first:
        line = top - at.topics * 0.6
        pen.rule(0, line, WIDTH, line)


def _run_in(topic: Topic, at: Setting) -> Block:
    """Return a topic as one paragraph that begins with its heading."""
    font = BOLD if topic.loud else REGULAR
    runs = ((f"{topic.title}.", BOLD), (" ".join(topic.lines), font))
    lines = wrap_runs(runs, at.size, WIDTH)

    def draw(pen: Pen, top: float, _height: float) -> None:
        _ruled(pen, top, at, first=False)
        pen.lines(0, top - at.topics - at.size, lines, at.size, at.leading)

    return Block(at.topics + len(lines) * at.leading + at.items, draw)


def topic_blocks(topic: Topic, at: Setting, place: int) -> Iterator[Block]:
    """Yield a topic; the first one stands beside the picture and has no rule above."""
    first, listed = place == 0, len(topic.lines) > 1
    if len(topic.lines) <= at.spacing.run_in and place >= _ALWAYS_LISTED:
        yield _run_in(topic, at)
        return

    above = at.items if first else at.topics  # the heading of the sheet has air of its own
    title = wrap(topic.title, BOLD, at.size, at.beside if first else WIDTH)

    def draw(pen: Pen, top: float, _height: float) -> None:
        _ruled(pen, top, at, first=first)
        for line, part in enumerate(title):
            pen.text(0, top - above - at.size - line * at.leading, part, at.size, BOLD)

    yield Block(above + len(title) * at.leading, draw, keep=True)
    whole = len(topic.lines) <= _WHOLE
    for item, line in enumerate(topic.lines):
        keep = item == 0 if not whole else item < len(topic.lines) - 1
        room = at.beside if first and item < _BESIDE_PICTURE else WIDTH
        yield _item(line, at, room, listed=listed, loud=topic.loud, keep=keep)


def ending(view: CareView, at: Setting) -> Block:
    """Return who made the hood, what it is made of, and what it is not."""
    half = WIDTH / 2 - 10
    left = [part for line in view.maker for part in wrap(line, REGULAR, at.size, half)]
    right = [part for line in view.hood for part in wrap(line, REGULAR, at.size, half)]
    below = wrap(" ".join(view.closing), REGULAR, at.size, WIDTH)
    rows = max(len(left), len(right))
    above = at.topics + 2

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top - above + 3, WIDTH, top - above + 3, 1.2, INK)
        base = top - above - at.size
        for x, lines in ((0.0, left), (WIDTH / 2 + 10, right)):
            for place, line in enumerate(lines):
                font = BOLD if place == 0 else REGULAR
                pen.text(x, base - place * at.leading, line, at.size, font)
        for place, line in enumerate(below):
            pen.text(0, base - (rows + place) * at.leading - at.items, line, at.size)

    return Block(above + (rows + len(below)) * at.leading + at.items, draw)
