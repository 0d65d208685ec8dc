"""Sentences of rows made short, for hoods whose sentences would fill too many pages.

Nothing is dropped: each count stays, and says by `in` where it goes, so that nobody reads two
stitches in one where one in each of two is meant.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from typing import Final

from documents.ticket_rows import Item, Pair, Section, Step, Strip, in_colour

_COLOURED: Final = re.compile(r"In ([^:]+): ")
_RULES: Final = (
    (re.compile(r"\b1 ([^,\[\]]+?) (?:in|of) each of next (\d+) (ch|row ends)\b"), r"\1 in \2 \3"),
    (re.compile(r"\b1 ([^,\[\]]+?) (?:in|of) each of next (\d+) sts\b"), r"\1 in \2"),
    (re.compile(r"\b1 ([^,\[\]]+?) (?:in|of) next (ch|row end)\b"), r"\1 in 1 \2"),
    (re.compile(r"\b1 ([^,\[\]]+?) (?:in|of) next st\b"), r"\1 in 1"),
    (re.compile(r"\b1 ([^,\[\]]+?) (?:in|of) each st (to end|around)\b"), r"\1 \2"),
    (re.compile(r"\b(\d+) (\w+) over the next \d+ sts"), r"\1 \2"),
    (re.compile(r"\b(skip|miss) next (\d+) (ch|row ends)\b"), r"\1 \2 \3"),
    (re.compile(r"\b(skip|miss) next (\d+) sts\b"), r"\1 \2"),
    (re.compile(r"\b(skip|miss) next st\b"), r"\1 1"),
    (re.compile(r"\b(skip|miss) next row end\b"), r"\1 1 row end"),
)


@lru_cache(
    maxsize=4096
)  # one sentence is shortened again at each spacing that a page is tried with
def short_text(sentence: str) -> str:
    """Return a row's sentence made short: `1 sc in each of next 23 sts` is `sc in 23`."""
    for pattern, told in _RULES:
        sentence = pattern.sub(told, sentence)
    return sentence.removesuffix(".")


def _rows(section: Section) -> Iterator[Step | Strip]:
    for item in section.items:
        if isinstance(item, Pair):
            yield from (item.first, item.second)
        elif isinstance(item, Step | Strip):
            yield item


def _once(step: Step, colour: str) -> Step:
    side = "" if step.word == "Round" else step.side
    return replace(step, text=step.text.removeprefix(colour), side=side)


def _said_once(item: Item, colour: str) -> Item:
    """Return an item without what all of its section share: the colour, the side of rounds."""
    if isinstance(item, Pair):
        return Pair(_once(item.first, colour), _once(item.second, colour))
    if isinstance(item, Step):
        return _once(item, colour)
    if isinstance(item, Strip):
        return replace(item, text=item.text.removeprefix(colour))
    return item


def shortened(section: Section) -> Section:
    """Return a section that says above its rows what is the same in all of them."""
    rows = tuple(_rows(section))
    found = _COLOURED.match(rows[0].text) if len(rows) > 1 else None
    named = found[1] if found else ""
    shared = in_colour(named)
    if not all(row.text.startswith(shared) for row in rows):
        named = shared = ""
    opening = f"{section.opening} All in {named}." if named else section.opening
    items = tuple(_said_once(item, shared) for item in section.items)
    return replace(section, opening=opening.strip(), items=items)


def short_key(single: str) -> str:
    """Return how the short sentences are read; `single` is the name of the plain stitch."""
    return (
        f"Short: “{single} in 9” is 1 {single} in each of the next 9 sts; “2 dec” works up the"
        f" next 4 sts; “{single} to end” is 1 {single} in each st."
    )
