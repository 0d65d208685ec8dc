"""How many balls to buy: the least number that is nearly sure to suffice, and how sure it is."""

from dataclasses import dataclass
from math import ceil
from typing import Final

from sizing.evidence import Fact, derived
from sizing.lognormal import Lognormal, quantile_of

SURE: Final = Fact(
    0.95, "probability", derived("judgement: run short once in twenty hoods, not more often")
)
ALMOST_ALL: Final = Fact(0.995, "probability", derived("rounds to 99 %; 100 % is never said"))
PERCENT: Final = Fact(100, "percent", derived("definition"))


@dataclass(frozen=True, slots=True)
class BallChoice:
    """A number of balls and the probability that they suffice."""

    balls: int
    suffices: float


def chance(metres: Lognormal, ball_metres: float, balls: int) -> float:
    """Return the probability that so many balls suffice."""
    return metres.below(balls * ball_metres)


def balls_at(metres: Lognormal, ball_metres: float, z: float) -> int:
    """Return the whole balls that hold the amount at `z` standard deviations; at least one."""
    return max(ceil(metres.at(z) / ball_metres), 1)


def least_balls(metres: Lognormal, ball_metres: float, short: float) -> BallChoice:
    """Return the least number of balls that runs short no more often than `short`."""
    balls = balls_at(metres, ball_metres, quantile_of(1 - 2 * short))
    found = chance(metres, ball_metres, balls)
    if found < 1 - short:  # the last digit of a float
        balls += 1
        found = chance(metres, ball_metres, balls)
    return BallChoice(balls, found)


def choices_about(
    metres: Lognormal, ball_metres: float, buy: BallChoice
) -> tuple[BallChoice, ...]:
    """Return the likely number, one less than is bought, the one bought, and one more."""
    likely = balls_at(metres, ball_metres, 0)
    others = {likely, buy.balls - 1, buy.balls + 1} - {0, buy.balls}
    found = [BallChoice(n, chance(metres, ball_metres, n)) for n in others]
    return tuple(sorted((*found, buy), key=lambda choice: choice.balls))


def percent_text(probability: float) -> str:
    """Return a probability in words that never promise: whole percents, at most over 99."""
    if probability >= ALMOST_ALL.value:
        return "over 99%"
    return f"{round(PERCENT.value * probability)}%"


_BRIDGE: Final = (
    "work two rows from the old lot and two from the new in turn, from before the end of the old,"
    " so that no line shows."
)


def dye_lot_advice(balls: int, suffices: float, lot: str, colours: int = 1) -> str:
    """Return what to do so that no second shade shows; a lot on record is of one colour only."""
    sure = f"{percent_text(suffices)} probability"
    if colours > 1:
        return (
            f"Buy all {balls} balls at once, each colour of one dye lot: all together they suffice"
            f" with {sure}, and a later ball may have another shade. Should a colour run short and"
            f" its lot be gone, {_BRIDGE}"
        )
    of_lot = f"lot {lot}" if lot else "one dye lot"
    if balls == 1:
        return (
            f"One ball of {of_lot} suffices with {sure}. Write the lot down: should it run short,"
            " only a ball of that lot has the same shade."
        )
    return (
        f"Buy all {balls} balls at once, of {of_lot}: they suffice with {sure}, and a later ball"
        f" may have another shade. Should they run short and the lot be gone, {_BRIDGE}"
    )
