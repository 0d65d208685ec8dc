"""Plots as finished coordinates, for a template to write as SVG: bars beside a line to reach.

Units of their own; what reads them scales with the page. Colour says nothing alone: what lies
past its range has a pointed end, and its figure is bold.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

WIDTH: Final = 320.0
_LEFT: Final = 104.0
_RIGHT: Final = 262.0
_TOP: Final = 24.0
_ROW: Final = 30.0
_MOST_LETTERS: Final = 15
_STEPS: Final = (0.2, 0.3, 0.5, 0.75, 1.0, 1.5, 2.0, 4.0)
"""Shares that a scale of differences may end at."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One thing to plot.

    Attributes:
        name: what it is.
        value: how far its bar goes.
        shown: its figure, in words.
        span: the range that was expected, or None.
        past: whether it lies past that range, or below the line to reach.
    """

    name: str
    value: float
    shown: str
    span: tuple[float, float] | None = None
    past: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """A row as it is drawn; `bar` are the points of its outline, `band` x and width."""

    y: float
    name: str
    whole: str
    shown: str
    bar: str
    band: tuple[float, float] | None
    past: bool


@dataclass(frozen=True, slots=True)
class Mark:
    """An upright line with a word at its head."""

    x: float
    word: str
    anchor: str
    strong: bool


@dataclass(frozen=True, slots=True)
class Plot:
    """A plot: its size, its rows from above, its upright lines."""

    width: float
    height: float
    top: float
    rows: tuple[Row, ...]
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class _Scale:
    low: float
    high: float

    def at(self, value: float) -> float:
        """Return where a value stands; what is past an end stands at it."""
        held = min(max(value, self.low), self.high)
        return _LEFT + (held - self.low) / (self.high - self.low) * (_RIGHT - _LEFT)


def _short(name: str) -> str:
    return name if len(name) <= _MOST_LETTERS else f"{name[: _MOST_LETTERS - 1].rstrip()}\u2026"


def _bar(start: float, end: float, y: float, *, past: bool) -> str:
    """Return a bar's outline; one that is past its range ends in a point."""
    half, point = 6.0, 6.0 if past and abs(end - start) > 6 else 0.0  # noqa: PLR2004 - the point
    neck = end - point if end >= start else end + point
    tip = ((neck, y - half), (end, y), (neck, y + half))
    blunt = ((end, y - half), (end, y + half))
    corners = ((start, y - half), *(tip if point else blunt), (start, y + half))
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in corners)


def _row(place: int, one: Figure, scale: _Scale, start: float) -> Row:
    y = _TOP + (place + 0.5) * _ROW
    band = None
    if one.span:
        low, high = (scale.at(end) for end in one.span)
        band = (round(low, 1), round(high - low, 1))
    return Row(
        y=y,
        name=_short(one.name),
        whole=one.name,
        shown=one.shown,
        bar=_bar(scale.at(start), scale.at(one.value), y, past=one.past),
        band=band,
        past=one.past,
    )


def _plot(rows: Sequence[Row], marks: Sequence[Mark]) -> Plot:
    return Plot(WIDTH, _TOP + len(rows) * _ROW + 4, _TOP, tuple(rows), tuple(marks))


def differences(figures: Sequence[Figure]) -> Plot:
    """Return how much more or less than planned each was; values are shares."""
    most = max((abs(one.value) for one in figures), default=0.0)
    end = next((step for step in _STEPS if step >= most), _STEPS[-1])
    scale = _Scale(-end, end)
    rows = [_row(place, one, scale, 0.0) for place, one in enumerate(figures)]
    marks = (
        Mark(scale.at(-end), "less", "start", strong=False),
        Mark(scale.at(0.0), "as planned", "middle", strong=True),
        Mark(scale.at(end), "more", "end", strong=False),
    )
    return _plot(rows, marks)


def amounts(figures: Sequence[Figure], line: float, word: str) -> Plot:
    """Return amounts from nothing, beside a line to reach."""
    values = [one.value for one in figures]
    low, high = min(0.0, *values), max(line, *values, 1e-9) * 1.05
    scale = _Scale(low, high)
    rows = [_row(place, one, scale, 0.0) for place, one in enumerate(figures)]
    near_end = scale.at(line) > (_LEFT + _RIGHT) / 2
    marks = (
        Mark(scale.at(0.0), "0", "middle", strong=False),
        Mark(scale.at(line), word, "end" if near_end else "start", strong=True),
    )
    return _plot(rows, marks)
