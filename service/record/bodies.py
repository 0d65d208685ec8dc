"""The shapes of the record on the wire."""

from decimal import Decimal

from pydantic import computed_field

from service.planbodies import Amount, Out


class PairOut(Out):
    """What a plan said, with the range that it expected 8 of 10 hoods in, and what it was."""

    planned: float
    low: float
    high: float
    was: float

    @computed_field  # type: ignore[prop-decorator]  # mypy knows no decorator on a property
    @property
    def more(self) -> float:
        """How much more it was than planned, as a share; below 0 it was less."""
        return self.was / self.planned - 1

    @computed_field  # type: ignore[prop-decorator]  # as above
    @property
    def within(self) -> bool:
        """Whether it lay in the range."""
        return self.low <= self.was <= self.high


class HoodOut(Out):
    """One finished hood; null for what nobody told.

    `minutes` is work without rest; `earned` is wage and profit by the hour, rest among the hours,
    at what was paid, or at the price where nothing is paid yet; `earned_planned` at the price.
    """

    number: str
    dog: str
    yarn: str
    month: str
    grams: PairOut | None
    minutes: PairOut | None
    price: Amount
    currency: str
    paid: Amount
    earned_planned: Amount
    earned: Amount | None


class GroupOut(Out):
    """Hoods of a month or a yarn: how many, and how much more they took than planned."""

    name: str
    hoods: int
    grams_more: float | None
    minutes_more: float | None
    earned: Amount | None


class SaidOut(Out):
    """What the record says, a sentence or two each; empty where nothing is known."""

    yarn: str
    time: str
    earned: str


class RecordOut(Out):
    """Finished hoods, the newest first; by month and by yarn; and what they say.

    `untold` are finished hoods of which nothing was told yet. `grams_factor` and
    `minutes_factor` are what new plans reckon with, beside a first guess; `currency` is the
    shop's, and what was earned in another one stands in no group.
    """

    hoods: list[HoodOut]
    months: list[GroupOut]
    yarns: list[GroupOut]
    untold: list[str]
    grams_factor: float
    minutes_factor: float
    currency: str
    wage: Amount
    said: SaidOut


def mean(shares: list[float]) -> float | None:
    """Return how much more it was in the middle: the geometric mean of what each was."""
    if not shares:
        return None
    product = 1.0
    for share in shares:
        product *= 1 + share
    return float(product ** (1 / len(shares)) - 1)


def mean_amount(amounts: list[Decimal]) -> Decimal | None:
    """Return the plain mean of amounts."""
    return sum(amounts, Decimal(0)) / len(amounts) if amounts else None
