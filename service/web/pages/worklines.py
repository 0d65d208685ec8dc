"""The rows of the ticket as lines of the page."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from documents.ticket_rows import Check, Item, Mark, Pair, Section, Step, Strip, Todo


@dataclass(frozen=True, slots=True)
class WorkLine:
    """One line of the pattern.

    Attributes:
        kind: `plain`, `run` (rows alike), `shaped` (a row that decreases), `check`, `mark` or
            `todo`.
        title: the row or rows, or when to measure.
        text: the sentence in pieces, each with whether it is to stand out.
        side: the side of the fabric that faces the maker, or nothing.
        count: the stitches after it, or the length to see.
    """

    kind: str
    title: str
    text: tuple[tuple[str, bool], ...]
    side: str = ""
    count: str = ""


@dataclass(frozen=True, slots=True)
class Work:
    """A part of the hood: its heading, what is done first, and its lines."""

    title: str
    opening: str
    lines: tuple[WorkLine, ...]


def _step(step: Step) -> WorkLine:
    title = f"{step.word} {step.row}"
    if not step.shaped:
        return WorkLine("plain", title, ((step.text, False),), step.side, step.count)
    parts = re.split(r"(?<=,) ", step.text)
    marked = tuple((f"{part} ", " over the next " in part) for part in parts)
    return WorkLine("shaped", title, marked, step.side, step.count)


def _lines(item: Item) -> Iterator[WorkLine]:
    match item:
        case Step():
            yield _step(item)
        case Pair(first, second):
            yield _step(first)
            yield _step(second)
        case Strip():
            yield WorkLine(
                "run", f"{item.word}s {item.title}", ((item.told, False),), "", item.count
            )
        case Check():
            yield WorkLine("check", f"Measure {item.when}", ((item.what, False),), "", item.value)
        case Mark() | Todo():
            yield WorkLine("mark" if isinstance(item, Mark) else "todo", "", ((item.text, True),))


def work_of(section: Section) -> Work:
    """Return a part of the ticket's work for the page."""
    lines = tuple(line for item in section.items for line in _lines(item))
    return Work(section.title, section.opening, lines)
