"""Lengths read a second time, letter by letter, by a reader that shares nothing with the first.

It has no patterns and no units library: a scan into marks, and a walk over them.
"""

from dataclasses import dataclass
from fractions import Fraction
from random import Random
from typing import Final

MM: Final = {
    **dict.fromkeys(("mm", "millimetre", "millimeter", "millimetres", "millimeters"), Fraction(1)),
    **dict.fromkeys(
        ("cm", "centimetre", "centimeter", "centimetres", "centimeters"), Fraction(10)
    ),
    **dict.fromkeys(("m", "metre", "meter", "metres", "meters"), Fraction(1000)),
}
INCH: Final = Fraction(254, 10)
INCHES: Final = ("in", "inch", "inches", '"', "''")
FEET: Final = ("ft", "foot", "feet", "'")
DOTTED: Final = ("in", "ft", "cm", "mm")
QUOTES: Final = {"\u2033": '"', "\u201d": '"', "\u2032": "'", "\u2019": "'"}
PARTS: Final = {
    "\u00bd": (1, 2), "\u00bc": (1, 4), "\u00be": (3, 4),
    "\u215b": (1, 8), "\u215c": (3, 8), "\u215d": (5, 8), "\u215e": (7, 8),
}  # fmt: skip


@dataclass(frozen=True)
class Mark:
    """A number, a fraction, a dash or a unit; whether a gap is before it."""

    kind: str
    value: Fraction = Fraction(0)
    plain: bool = True
    word: str = ""
    gap: bool = False


class Unclear(Exception):  # noqa: N818 - no fault
    """It is not surely a length."""


def _digits(text: str, at: int) -> int:
    while at < len(text) and text[at] in "0123456789":
        at += 1
    return at


def _figure(text: str, at: int, *, gap: bool) -> tuple[Mark, int]:
    end = _digits(text, at)
    whole = int(text[at:end])
    if end < len(text) and text[end] in "/\u2044":
        stop = _digits(text, end + 1)
        below = text[end + 1 : stop]
        if not below or int(below) not in {2, 4, 8, 16, 32, 64} or not 0 < whole < int(below):
            raise Unclear
        return Mark("part", Fraction(whole, int(below)), gap=gap), stop
    if end < len(text) and text[end] in ".,":
        stop = _digits(text, end + 1)
        behind = text[end + 1 : stop]
        if not behind or (text[end] == "," and len(behind) == 3):
            raise Unclear
        value = whole + Fraction(int(behind), 10 ** len(behind))
        return Mark("number", value, plain=False, gap=gap), stop
    return Mark("number", Fraction(whole), gap=gap), end


def _scan(text: str) -> list[Mark]:  # noqa: C901 - one case for each kind of letter
    marks: list[Mark] = []
    at, gap = 0, False
    while at < len(text):
        sign = text[at]
        if sign.isspace():
            at, gap = at + 1, True
            continue
        if sign in "0123456789":
            mark, at = _figure(text, at, gap=gap)
        elif sign in PARTS:
            mark, at = Mark("part", Fraction(*PARTS[sign]), gap=gap), at + 1
        elif sign in "-\u2013":
            mark, at = Mark("dash", gap=gap), at + 1
        elif QUOTES.get(sign, sign) in "\"'":
            word = QUOTES.get(sign, sign)
            at += 1
            if word == "'" and at < len(text) and QUOTES.get(text[at], text[at]) == "'":
                word, at = "''", at + 1
            mark = Mark("unit", word=word, gap=gap)
        else:
            end = at
            while end < len(text) and text[end].isascii() and text[end].isalpha():
                end += 1
            word = text[at:end].lower()
            if not word:
                raise Unclear
            if end < len(text) and text[end] == "." and word in DOTTED:
                end += 1
            mark, at = Mark("unit", word=word, gap=gap), end
        marks.append(mark)
        gap = False
    return marks


def _amount(marks: list[Mark]) -> tuple[Fraction, bool, bool]:
    """Take an amount from the front: its value, whether it has a part, whether it is whole."""
    if not marks:
        raise Unclear
    first = marks.pop(0)
    if first.kind == "part":
        return first.value, True, False
    if first.kind != "number":
        raise Unclear
    if marks and marks[0].kind == "dash":
        if len(marks) < 2 or marks[1].kind != "part" or not first.plain:
            raise Unclear
        marks.pop(0)
        return first.value + marks.pop(0).value, True, False
    if marks and marks[0].kind == "part":
        if not first.plain:
            raise Unclear
        return first.value + marks.pop(0).value, True, False
    return first.value, False, first.plain


def length_of(text: str, *, inches: bool) -> Fraction:
    """Return a length in millimetres.

    Raises:
        Unclear: if it is not surely one.
    """
    marks = _scan(text)
    value, parted, whole = _amount(marks)
    if not marks:
        if parted and not inches:
            raise Unclear
        total = value * (INCH if inches else 10)
    else:
        unit = marks.pop(0)
        if unit.kind != "unit":
            raise Unclear
        if unit.word in MM and not parted and not marks:
            total = value * MM[unit.word]
        elif unit.word in INCHES and not marks:
            total = value * INCH
        elif unit.word in FEET and not parted:
            total = value * 12 * INCH + (_rest(marks) if marks and whole else 0)
        else:
            raise Unclear
    if marks or not 0 < total <= 3000:
        raise Unclear
    return total


def _rest(marks: list[Mark]) -> Fraction:
    """Take the inches that stand behind feet."""
    value, _, _ = _amount(marks)
    if not marks or marks.pop(0).word not in INCHES or value >= 12:
        raise Unclear
    return value * INCH


NASTY: Final = (
    *"0123456789.,-/ '\"", " ", "\u00a0", "\u2009", "½", "¼", "⅝", "\u2044", "\u2013", "\u2033",
    "\u201d", "\u2032", "\u2019", "cm", "mm", "m", "in", "inch", "ft", "''", "e", "E5", "+", "٣",
    "²", "\x00", "İ", "K", "kg", "lb", "to", "x", ".", "//", "--", "\n", "\t", "\uff11", "∞",
)  # fmt: skip


def sentence(dice: Random) -> str:
    """Draw a length as somebody may write it."""
    whole, part = str(dice.randint(0, 130)), dice.choice(["1/2", "3/4", "5/8", "7/16", "1/3", "½"])
    point = f"{whole}{dice.choice('.,')}{dice.randint(0, 999)}"
    mixed = f"{whole}{dice.choice(['-', ' ', ' - ', ''])}{part}"
    gap = dice.choice(["", " ", " ", "\u00a0", "  "])
    metric = dice.choice([*MM, "CM", "cm.", "Cm"])
    inch = dice.choice([*INCHES, "in.", "IN", "\u2033", "\u201d"])
    foot = dice.choice([*FEET, "ft.", "\u2019"])
    small = dice.choice([str(dice.randint(0, 13)), f"{dice.randint(0, 12)} {part}"])
    return dice.choice(
        [
            f"{whole}{gap}{metric}",
            f"{point}{gap}{metric}",
            f"{dice.choice([whole, point, mixed, part])}{gap}{inch}",
            f"{dice.randint(0, 11)}{gap}{foot}{gap}{small}{gap}{inch}",
            f"{dice.choice([whole, point])}{gap}{foot}",
            dice.choice([whole, point, mixed, part]),
        ]
    )


def changed(text: str, dice: Random) -> str:
    """Change a text in up to four places."""
    for _ in range(dice.choice([0, 0, 1, 1, 1, 2, 3, 4])):
        at = dice.randint(0, len(text))
        how = dice.randint(0, 4)
        if how == 0:
            text = text[:at] + dice.choice(NASTY) + text[at:]
        elif how == 1:
            text = text[:at] + text[at + 1 :]
        elif how == 2:
            text = text[:at] + dice.choice(NASTY) + text[at + 1 :]
        elif how == 3:
            text = text[:at] + text[at : at + 3] * dice.randint(2, 12) + text[at:]
        else:
            other = sentence(dice)
            text = text[:at] + other[dice.randint(0, len(other)) :]
    return text
