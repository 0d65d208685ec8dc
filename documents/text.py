"""Text that people typed, made safe to draw, and cut into lines.

Nothing here is markup: every character is drawn as itself, so `<img src=…>` prints as
those letters. What cannot be drawn is shown as a replacement sign and reported.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import groupby
from operator import itemgetter
from typing import Final

from documents.fonts import em_width, has_glyph, width

MISSING: Final = "\ufffd"
"""Drawn where the fonts have no glyph: a sign nobody takes for a letter."""
ELLIPSIS: Final = "…"
MOST_MARKS: Final = 2
"""Combining marks kept on one letter; Vietnamese needs two, and towers of them hide lines."""
MOST_NAMED: Final = 8
"""Missing characters named one by one in a warning."""

_PLAIN: Final = re.compile(r"(?:[!-~]+(?: [!-~]+)*)?")
"""ASCII words with one space between them: the fonts have all of it, nothing is to be done."""
_SPACES: Final = re.compile(r"[ \t\n]+")
"""Where a line may break; a no-break space holds a number and its unit together."""

Run = tuple[str, str]
"""A piece of text and its font."""
Line = tuple[Run, ...]


@dataclass(slots=True)
class Cleaner:
    """Makes typed text drawable and collects what had to be changed.

    Attributes:
        on_screen: the text is not printed but shown by a program that has all letters.
        warnings: one sentence for each change that a reader should know of.
    """

    on_screen: bool = False

    warnings: list[str] = field(default_factory=list)

    def line(self, text: str, where: str, most: int) -> str:
        """Return a text as one line of at most `most` characters."""
        if len(text) <= most and _PLAIN.fullmatch(text):
            return text
        return self._checked(" ".join(self._plain(text, where).split()), where, most)

    def lines(self, text: str, where: str, most: int) -> tuple[str, ...]:
        """Return a text as its lines that are not blank, together at most `most` characters."""
        lines = (" ".join(line.split()) for line in self._plain(text, where).split("\n"))
        checked = self._checked("\n".join(line for line in lines if line), where, most)
        return tuple(checked.split("\n")) if checked else ()

    def _plain(self, text: str, where: str) -> str:
        """Return the text composed, without control, format and surplus combining characters."""
        composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\r", "\n"))
        kept = "".join(_kept(composed))
        if _marks(kept) < _marks(composed):
            self.warnings.append(f"{where}: a letter keeps {MOST_MARKS} accents, the rest is cut.")
        return kept

    def _checked(self, text: str, where: str, most: int) -> str:
        if len(text) > most:
            self.warnings.append(f"{where}: cut to {most} characters.")
            text = text[: most - 1].rstrip() + ELLIPSIS
        gone = sorted({sign for sign in text if sign != "\n" and not self._shows(sign)})
        if gone:
            self.warnings.append(
                f"{where}: {_named(gone)} cannot be printed; shown as {MISSING}. Write it in"
                " Latin, Greek or Cyrillic letters."
            )
        return "".join(sign if sign == "\n" or self._shows(sign) else MISSING for sign in text)

    def _shows(self, sign: str) -> bool:
        return has_glyph(sign) or (self.on_screen and sign.isprintable())


def isolated(text: str) -> str:
    """Return a text for the screen that may stand in a sentence of the other direction."""
    if any(unicodedata.bidirectional(sign) in ("R", "AL") for sign in text):
        return f"\u2068{text}\u2069"  # first strong isolate, pop directional isolate
    return text


def _named(signs: list[str]) -> str:
    named = ", ".join(_name(sign) for sign in signs[:MOST_NAMED])
    rest = len(signs) - MOST_NAMED
    return f"{named} and {rest} more" if rest > 0 else named


def _name(sign: str) -> str:
    """Return the sign as it was typed, where it shows by itself, and its number in Unicode."""
    number = f"U+{ord(sign):04X}"
    shows = sign.isprintable() and not unicodedata.category(sign).startswith("M")
    return f"{sign} ({number})" if shows else number


def _marks(text: str) -> int:
    """Return how many combining marks a text has, signs that choose a picture left out."""
    return sum(
        unicodedata.category(sign).startswith("M") and not _is_selector(sign) for sign in text
    )


def _kept(text: str) -> Iterator[str]:
    marks = 0
    for sign in text:
        kind = unicodedata.category(sign)
        marks = marks + 1 if kind.startswith("M") else 0
        if sign == "\n" or kind in ("Zl", "Zp"):
            yield "\n"
        elif kind in ("Cc", "Zs"):
            yield " "
        elif kind != "Cf" and marks <= MOST_MARKS and not _is_selector(sign):
            yield sign


def _is_selector(sign: str) -> bool:
    """Return whether a sign only chooses between pictures of the one before it."""
    return "\ufe00" <= sign <= "\ufe0f"


def fit(text: str, font: str, size: float, room: float) -> str:
    """Return a text cut with an ellipsis so that it is no wider than `room` points."""
    if width(text, font, size) <= room:
        return text
    while text and width(text + ELLIPSIS, font, size) > room:
        text = text[:-1]
    return text.rstrip() + ELLIPSIS


def _pieces(word: str, font: str, size: float, room: float) -> Iterator[str]:
    """Yield a word that is wider than a whole line in pieces."""
    piece = ""
    for sign in word:
        if piece and width(piece + sign, font, size) > room:
            yield piece
            piece = ""
        piece += sign
    yield piece


def _joined(words: list[Run]) -> Line:
    """Return the words of a line as runs; a run ends with the space before the next one."""
    runs = [
        (" ".join(word for word, _ in same), font)
        for font, same in groupby(words, key=itemgetter(1))
    ]
    return (*((f"{text} ", font) for text, font in runs[:-1]), *runs[-1:])


def wrap_phrases(phrases: Iterable[Line], size: float, room: float) -> tuple[Line, ...]:
    """Break phrases into lines between two of them, so that a phrase is read in one go.

    A phrase wider than a line is broken between its words.
    """
    lines: list[Line] = []
    for phrase in phrases:
        if lines and len(joined := wrap_runs((*lines[-1], *phrase), size, room)) == 1:
            lines[-1] = joined[0]
        else:
            lines.extend(wrap_runs(phrase, size, room))
    return tuple(lines)


@lru_cache(maxsize=4096)  # one text is set again at each spacing that a page is tried with
def _measured(runs: Line) -> tuple[tuple[tuple[str, str, float], ...], Line, float]:
    """Return words with font and width, the whole as one line, and its width; all at size 1."""
    words = tuple(
        (word, font, em_width(word, font))
        for text, font in runs
        for word in _SPACES.split(text)
        if word
    )
    spaces = sum(em_width(" ", font) for _, font, _ in words[1:])
    whole = _joined([(word, font) for word, font, _ in words])
    return words, whole, sum(wide for _, _, wide in words) + spaces


def _fitting(runs: Line, size: float, room: float) -> Iterator[tuple[str, str, float]]:
    """Yield words, each with its font and how wide it is; none is wider than a whole line."""
    for word, font, wide in _measured(runs)[0]:
        if wide * size <= room:
            yield word, font, wide * size
            continue
        for piece in _pieces(word, font, size, room):
            yield piece, font, width(piece, font, size)


@lru_cache(maxsize=4096)
def wrap_runs(runs: Line, size: float, room: float, indent: float = 0.0) -> tuple[Line, ...]:
    """Break runs of text into lines no wider than `room` points; the first begins indented.

    Where no word fits beside the indent, the first line is empty.
    """
    _, whole, wide = _measured(runs)
    if indent + wide * size <= room:
        return (whole,)
    line: list[Run] = []
    lines = [line]
    used = indent
    for word, font, wide in _fitting(runs, size, room):
        space = width(" ", font, size) if line else 0.0
        if used > 0 and used + space + wide > room:
            line = []
            lines.append(line)
            used, space = 0.0, 0.0
        used += space + wide
        line.append((word, font))
    return tuple(_joined(line) for line in lines)


def wrap(
    text: str, font: str, size: float, room: float, most: int | None = None
) -> tuple[str, ...]:
    """Break a text into lines; what does not fit `most` lines is cut with an ellipsis."""
    lines = tuple(
        "".join(run for run, _ in line) for line in wrap_runs(((text, font),), size, room)
    )
    if most is None or len(lines) <= most:
        return lines
    return (*lines[: most - 1], fit(lines[most - 1] + ELLIPSIS, font, size, room))
