"""The measuring guide on paper: one page to read, to fill in by hand and to send back."""

from collections.abc import Iterator
from typing import Final

from documents.flow import Block, Page, flowed, paginate, space
from documents.fonts import BOLD, REGULAR, width
from documents.guide_drawing import HEAD_WIDTH, draw_head, draw_neck_and_head
from documents.guide_view import GuideView
from documents.guide_words import Tape
from documents.page import WIDTH, Label, Paper
from documents.pen import INK, SOFT, Pen, middle
from documents.setting import BODY, head, heading, paragraph
from documents.text import fit, wrap_runs

_LEADING: Final = 15.0
_PICTURES: Final = (196.0, 178.0, 160.0, 140.0)
"""Heights of the picture, from large to small: the largest that leaves it on one page."""
_PICTURE_LEFT: Final = 20.0
_LARGE: Final = 170.0
"""From this height of the picture on the second one has room below the lines to write on."""
_HEAD: Final = 100.0
_BLANKS_LEFT: Final = 262.0
_BLANK: Final = 23.0
_WORDS: Final = 286.0
_BOX: Final = (68.0, 24.0)
_FIRST: Final = 318.0
_SECOND: Final = 394.0
_UNIT: Final = 474.0
_TICK: Final = 10.0


def _blanks(pen: Pen, view: GuideView, x: float, top: float) -> None:
    """Draw the lines on which the owner writes who the dog is."""
    left = x + max(width(name, REGULAR, BODY) for name, _ in view.blanks) + 8
    for place, (name, known) in enumerate(view.blanks):
        y = top - (place + 1) * _BLANK
        pen.text(x, y + 3, name, BODY, tone=SOFT)
        pen.rule(left, y, WIDTH, y, 0.7, INK)
        pen.text(left + 3, y + 3, fit(known, BOLD, BODY, WIDTH - left - 3), BODY, BOLD)


def _pictures(view: GuideView, height: float) -> Block:
    def draw(pen: Pen, top: float, _height: float) -> None:
        draw_neck_and_head(pen, _PICTURE_LEFT, top, height)
        if height < _LARGE:
            right = _PICTURE_LEFT + height + 10
            draw_head(pen, right, top, _HEAD)
            _blanks(pen, view, right + _HEAD * HEAD_WIDTH + 16, top + 4)
            return
        _blanks(pen, view, _BLANKS_LEFT, top + 4)
        below = len(view.blanks) * _BLANK + 4
        draw_head(pen, _BLANKS_LEFT + 74, top - below, height - below)

    return Block(height + 4, draw)


def _step(number: int, line: str) -> Block:
    block = paragraph(line, left=16, leading=_LEADING, after=1)

    def draw(pen: Pen, top: float, height: float) -> None:
        pen.text(0, top - BODY, f"{number}.", BODY, BOLD)
        block.draw(pen, top, height)

    return Block(block.height, draw)


def _columns(view: GuideView) -> Block:
    def draw(pen: Pen, top: float, _height: float) -> None:
        for x, text in zip((_FIRST, _SECOND, _UNIT), view.columns, strict=True):
            pen.text(x, top - 11, fit(text, REGULAR, BODY, _BOX[0]), BODY, tone=SOFT)

    return Block(15, draw, keep=True)


def _row(tape: Tape, last: int) -> Block:
    """Return a length: its sign, its words, two boxes and a tick for each unit."""
    runs = ((f"{tape.name}:", BOLD), (tape.where, REGULAR))
    lines = wrap_runs(runs, BODY, _WORDS)
    wide, high = _BOX
    height = max(len(lines) * _LEADING + 5, high + 8)

    def draw(pen: Pen, top: float, full: float) -> None:
        y = top - full / 2
        pen.disc(8, y, tape.sign, 10)
        pen.lines(24, middle(y, BODY, len(lines), _LEADING), lines, BODY, _LEADING)
        for x in (_FIRST, _SECOND):
            pen.box(x, y - high / 2, wide, high)
        for place, unit in enumerate(("cm", "in")):
            side = y + 7 - place * 14
            pen.box(_UNIT, side - _TICK / 2, _TICK, _TICK)
            pen.text(_UNIT + 15, middle(side, BODY), unit, BODY)
        pen.rule(0, top - full, WIDTH, top - full, 0.4)

    return Block(height, draw, keep=bool(last))


def _blocks(view: GuideView, picture: float) -> Iterator[Block]:
    yield head(view.heading, view.below)
    yield space(2)
    yield _pictures(view, picture)
    yield heading(view.how_title, above=8)
    for number, line in enumerate(view.how, start=1):
        yield _step(number, line)
    yield _columns(view)
    tapes = (*view.tapes, *view.more)
    for place, tape in enumerate(tapes, start=1):
        yield _row(tape, len(tapes) - place)
    yield space(5)
    for line in view.cautions:
        yield paragraph(line, font=BOLD, leading=_LEADING, after=1)
    if view.send:
        yield paragraph(view.send, leading=_LEADING, after=0)


def _set(view: GuideView, room: float) -> tuple[Page, ...]:
    """Return one page if any size of the picture allows it, else two."""
    tries = (paginate(tuple(_blocks(view, picture)), room) for picture in _PICTURES)
    return min(tries, key=len)


def render(view: GuideView, paper: Paper) -> bytes:
    """Return the guide as a PDF on A4 or US Letter; equal views give equal bytes."""
    label = Label(
        title=view.title,
        author=view.maker,
        footer=view.footer,
        footer_size=10,
        language=view.language,
    )
    return flowed(paper, label, _set(view, label.room))
