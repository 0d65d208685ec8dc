"""The care and supervision sheet on paper, large enough to be read at arm's length.

No type is smaller than 14 points: the clear print guidance of the sight-loss charities asks
for 12 at least and 14 if possible (UKAAF G003, 2019). Where a sheet is too full, the
spaces shrink first; then it takes a second page.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from documents.care_view import CareView, Topic
from documents.care_words import LAW, NO_MEDICAL_DEVICE
from documents.dog_picture import draw_hooded_dog
from documents.flow import Block, Page, drawer, paginate
from documents.fonts import BOLD, REGULAR, width
from documents.page import HEIGHT, WIDTH, Label, Paper, make_pdf
from documents.pen import INK, SOFT, Pen
from documents.text import fit, wrap

BODY: Final = 14.0
_INDENT: Final = 14.0
_PICTURE: Final = 118.0
_BESIDE_PICTURE: Final = 3
"""Items of the first topic that the picture reaches down to."""
_BESIDE: Final = WIDTH - _PICTURE


@dataclass(frozen=True, slots=True)
class Spacing:
    """Leading, space between items and between topics, in points."""

    leading: float
    items: float
    topics: float


_GENEROUS: Final = Spacing(19.0, 5.0, 17.0)
_CLOSE: Final = Spacing(16.6, 0.5, 7.0)
_STEPS: Final = 12


def _spacing(step: int) -> Spacing:
    """Return a spacing between generous (0) and close (`_STEPS`); the type stays as it is."""
    part = step / _STEPS

    def between(most: float, least: float) -> float:
        return most + (least - most) * part

    return Spacing(
        between(_GENEROUS.leading, _CLOSE.leading),
        between(_GENEROUS.items, _CLOSE.items),
        between(_GENEROUS.topics, _CLOSE.topics),
    )


def _head(view: CareView) -> Block:
    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top, WIDTH, top, 1.6, INK)
        draw_hooded_dog(pen, WIDTH - _PICTURE * 0.86, top - 8, _PICTURE)
        fitted = (size for size in (26, 21, 17) if width(view.heading, BOLD, size) <= _BESIDE)
        size = next(fitted, 15)
        pen.text(0, top - 30, fit(view.heading, BOLD, size, _BESIDE), size, BOLD)
        pen.text(0, top - 50, view.subheading, BODY, tone=SOFT)

    return Block(58, draw, keep=True)


def _item(
    line: str, spacing: Spacing, room: float, *, listed: bool, loud: bool, keep: bool
) -> Block:
    font = BOLD if loud else REGULAR
    indent = _INDENT if listed else 0.0
    lines = wrap(line, font, BODY, room - indent)

    def draw(pen: Pen, top: float, _height: float) -> None:
        if listed:
            pen.fill(1, top - BODY * 0.8, 4, 4, INK)
        for place, part in enumerate(lines):
            pen.text(indent, top - BODY - place * spacing.leading, part, BODY, font)

    return Block(len(lines) * spacing.leading + spacing.items, draw, keep=keep)


def _topic(topic: Topic, spacing: Spacing, *, first: bool) -> Iterator[Block]:
    """Yield a topic; the first one stands beside the picture and has no rule above."""

    def draw(pen: Pen, top: float, height: float) -> None:
        if not first:
            line = top - spacing.topics * 0.6
            pen.rule(0, line, WIDTH, line)
        pen.text(0, top - height + spacing.leading - BODY, topic.title, BODY, BOLD)

    yield Block(spacing.topics + spacing.leading, draw, keep=True)
    listed = len(topic.lines) > 1
    for place, line in enumerate(topic.lines):
        keep = listed and place == 0
        room = _BESIDE if first and place < _BESIDE_PICTURE else WIDTH
        yield _item(line, spacing, room, listed=listed, loud=topic.loud, keep=keep)


def _blocks(view: CareView, spacing: Spacing) -> Iterator[Block]:
    yield _head(view)
    for place, topic in enumerate(view.topics):
        yield from _topic(topic, spacing, first=place == 0)
    yield _ending(view, spacing)


def _ending(view: CareView, spacing: Spacing) -> Block:
    """Return who made the hood, what it is made of, and what it is not."""
    half = WIDTH / 2 - 10
    left = [part for line in view.maker for part in wrap(line, REGULAR, BODY, half)]
    right = [part for line in view.hood for part in wrap(line, REGULAR, BODY, half)]
    below = wrap(f"{NO_MEDICAL_DEVICE} {LAW}", REGULAR, BODY, WIDTH)
    rows = max(len(left), len(right))
    above = spacing.topics + 2

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top - above + 3, WIDTH, top - above + 3, 1.2, INK)
        base = top - above - BODY
        for x, lines in ((0.0, left), (WIDTH / 2 + 10, right)):
            for place, line in enumerate(lines):
                font = BOLD if place == 0 else REGULAR
                pen.text(x, base - place * spacing.leading, line, BODY, font)
        for place, line in enumerate(below):
            pen.text(0, base - (rows + place) * spacing.leading - spacing.items, line, BODY)

    return Block(above + (rows + len(below)) * spacing.leading + spacing.items, draw)


def _set(view: CareView, room: float) -> tuple[Page, ...]:
    """Return one page if any spacing allows it, else generous ones."""
    for step in range(_STEPS + 1):
        pages = paginate(tuple(_blocks(view, _spacing(step))), room)
        if len(pages) == 1:
            return pages
    return paginate(tuple(_blocks(view, _GENEROUS)), room)


def render(view: CareView, paper: Paper) -> bytes:
    """Return the care sheet as a PDF on A4 or US Letter; equal views give equal bytes."""
    label = Label(
        title=view.title, author=view.maker_name, footer=view.footer, footer_size=BODY
    )  # fmt: skip
    room = HEIGHT - label.footer_height
    return make_pdf(paper, label, [drawer(page, room) for page in _set(view, room)])
