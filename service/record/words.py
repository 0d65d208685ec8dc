"""What the record says, in plain sentences: the finding first, then what follows from it."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Final

from service.record.bodies import HoodOut, PairOut, SaidOut, mean, mean_amount
from sizing.money import rounded

LAST: Final = 8
"""Hoods that a sentence and a plot are of: a season's work of one pair of hands."""
_SAME: Final = 0.03
"""What is nearer than this is called the same."""
_NUMBERS: Final = ("", "", "two", "three", "four", "five", "six", "seven", "eight")


def _last(count: int) -> str:
    return "Your last hood" if count == 1 else f"Your last {_NUMBERS[count]} hoods"


def percent(share: float) -> str:
    """Return a share as a percentage, never with a sign."""
    return f"{abs(share):.0%}".replace("%", "\u00a0%")


def _within(pairs: Sequence[PairOut]) -> str:
    inside = sum(one.within for one in pairs)
    if len(pairs) == 1:
        return "That is within the plan\u2019s range." if inside else "That is past its range."
    if inside == len(pairs):
        return "All lay within the plan\u2019s range."
    some = _NUMBERS[inside] if inside > 1 else ("one" if inside else "none")
    return f"Of these, {some} lay within the plan\u2019s range."


def _reckon(factor: float, what: str, guess: str) -> str:
    """Return what new plans make of it; `guess` is what they would start from alone."""
    if abs(factor - 1) < _SAME:
        return "New plans stay as they are."
    more = "more" if factor > 1 else "less"
    apart = f"{percent(factor - 1)} {more} {what} than by {guess} alone"
    return f"New plans already reckon with it: {apart}."


def _took(pairs: Sequence[PairOut], more: str, less: str, same: str) -> str:
    found = mean([one.more for one in pairs]) or 0.0
    if abs(found) < _SAME:
        return f"{_last(len(pairs))} took {same}."
    return f"{_last(len(pairs))} took {percent(found)} {more if found > 0 else less} than planned."


def _yarn(pairs: Sequence[PairOut], factor: float) -> str:
    if not pairs:
        return ""
    took = _took(pairs, "more yarn", "less yarn", "as much yarn as planned")
    return " ".join((took, _within(pairs), _reckon(factor, "yarn", "stitches and swatch")))


def _time(pairs: Sequence[PairOut], factor: float) -> str:
    if not pairs:
        return ""
    took = _took(pairs, "longer", "less time", "as long as planned")
    return " ".join((took, _within(pairs), _reckon(factor, "time", "the pace under Shop")))


def _earned(amounts: Sequence[Decimal], wage: Decimal, currency: str) -> str:
    found = mean_amount(list(amounts))
    if found is None:
        return ""
    hourly = rounded(found, currency)
    said = f"{_last(len(amounts))} earned you {hourly} {currency} an hour"
    apart = hourly - rounded(wage, currency)
    if abs(apart) < wage * Decimal(str(_SAME)):
        return f"{said}: the wage that you set."
    if apart > 0:
        return f"{said}, {apart} more than the wage that you set."
    return (
        f"{said}, {-apart} less than the wage that you set. Look at your pace and your rates"
        " under Shop, or ask a higher price."
    )


def said_of(
    hoods: Sequence[HoodOut], factors: tuple[float, float], wage: Decimal, currency: str
) -> SaidOut:
    """Return what the newest hoods say.

    Args:
        hoods: the newest first.
        factors: what new plans reckon with, for yarn and for time.
        wage: for an hour, as it is set.
        currency: of the shop; what was earned in another is left out.
    """
    grams = [one.grams for one in hoods if one.grams][:LAST]
    minutes = [one.minutes for one in hoods if one.minutes][:LAST]
    earned = [one.earned for one in hoods if one.earned is not None and one.currency == currency][
        :LAST
    ]
    return SaidOut(
        yarn=_yarn(grams, factors[0]),
        time=_time(minutes, factors[1]),
        earned=_earned(earned, wage, currency),
    )
