"""Figures in words: dates, hooks, times, amounts, tolerances."""

from datetime import date, datetime
from typing import Final

from sizing.material import Spread
from sizing.units import LengthUnit, millimetres, show_length
from sizing.wording import Terms
from sizing.yarns import Fibre

HOOKS: Final = {
    2.25: "B-1", 2.75: "C-2", 3.25: "D-3", 3.5: "E-4", 3.75: "F-5", 4.0: "G-6", 4.5: "7",
    5.0: "H-8", 5.5: "I-9", 6.0: "J-10", 6.5: "K-10½", 8.0: "L-11", 9.0: "M/N-13",
    10.0: "N/P-15",
}  # fmt: skip
"""US labels by mm, as two hook charts of the trade agree; the mm decide, the label only helps."""

_MONTHS: Final = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
_INCHES_PER_YARD: Final = 36
_MINUTES_PER_HOUR: Final = 60


def date_text(day: date) -> str:
    """Return `3 December 2026`: no reader can swap day and month."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def moment_text(at: datetime) -> str:
    """Return `3 December 2026, 14:05 UTC`, of a moment in UTC."""
    return f"{date_text(at)}, {at:%H:%M} UTC"


def month_text(month: str) -> str:
    """Return `December 2026` for `2026-12`."""
    year, _, number = month.partition("-")
    return f"{_MONTHS[int(number) - 1]} {year}"


def hook_text(hook_mm: float) -> str:
    """Return `5.0 mm (US H-8)`, or the millimetres alone where no label is agreed on."""
    size = f"{hook_mm:.2f}"
    size = size.removesuffix("0")
    label = HOOKS.get(hook_mm)
    return f"{size} mm (US {label})" if label else f"{size} mm"


def minutes_text(minutes: float) -> str:
    """Return `35 min` or `1 h 05 min`."""
    hours, rest = divmod(round(minutes), _MINUTES_PER_HOUR)
    return f"{hours} h {rest:02d} min" if hours else f"{rest} min"


def spread_text(spread: Spread, unit: str) -> str:
    """Return the likely amount with its low and high end: `94 m (61 to 112)`."""
    return f"{spread.likely:.0f} {unit} ({spread.low:.0f} to {spread.high:.0f})"


def yarn_length_text(metres: Spread, unit: LengthUnit) -> str:
    """Return a length of yarn in metres, or in yards where the order speaks in inches."""
    if unit is LengthUnit.CM:
        return spread_text(metres, "m")
    yard = millimetres(_INCHES_PER_YARD) / 1000
    return spread_text(metres.times(1 / yard), "yd")


def tolerance_text(mm: float, unit: LengthUnit) -> str:
    """Return `± 0.7 cm`; never zero, because no work is free of it."""
    least = millimetres(1 / 8) if unit is LengthUnit.INCH else 1.0
    return f"± {show_length(max(mm, least), unit)}"


def gauge_text(stitches: float, rows: float) -> str:
    """Return stitches and rows, as in `12.5 sts` by `14.3 rows`."""
    return f"{stitches:.3g} sts \u00d7 {rows:.3g} rows"


def span_text(unit: LengthUnit) -> str:
    """Return the span that a gauge is counted over."""
    return "10 cm" if unit is LengthUnit.CM else "10 cm (just under 4 in)"


def fibres_text(fibres: tuple[tuple[Fibre, int], ...]) -> str:
    """Return `60 % acrylic, 40 % cotton`, the largest share first."""
    # EU Regulation 1007/2011, Art. 9: in descending order of percent; names of Annex I.
    ordered = sorted(fibres, key=lambda part: (-part[1], part[0].value))
    return ", ".join(f"{percent} % {fibre.value}" for fibre, percent in ordered)


def terms_text(terms: Terms) -> str:
    """Return `US terms` or `UK terms`; the same word names different stitches in each."""
    return f"{terms.value} terms"


def balls_text(balls: int) -> str:
    """Return a number of balls: `1 ball`, `3 balls`."""
    return f"{balls} ball{'s' if balls != 1 else ''}"
