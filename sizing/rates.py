"""What the maker's time and the shop cost: the settings behind time and price."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from decimal import Decimal
from enum import StrEnum
from math import inf
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived, memory, published
from sizing.money import MOST_MONEY, unit_of
from sizing.timing import DEFAULT_LEARNING, LEAST_LEARNING, Timing, learned_paces

_PACE = derived(
    "assumption: an experienced maker's 18 to 20 dc a minute (a guild member's report, 2005),"
    " to be replaced by the maker's own timing"
)
_FIXED = memory("a start value, to be replaced by the maker's own timing")
DEFAULT_PACE: Final = Fact(20.0, "sc per minute", _PACE)
DEFAULT_RIB_PACE: Final = Fact(18.0, "back-loop sc per minute", _PACE)
DEFAULT_CHAIN_PACE: Final = Fact(40.0, "chains per minute", _FIXED)
DEFAULT_DECREASE_PACE: Final = Fact(10.0, "decreases per minute", _FIXED)
DEFAULT_SEAM_PACE: Final = Fact(12.0, "seam stitches per minute", _FIXED)
DEFAULT_SWATCH: Final = Fact(25.0, "minutes", _FIXED)
DEFAULT_ENDS: Final = Fact(3.0, "minutes per end", _FIXED)
DEFAULT_TURN: Final = Fact(
    0.05, "minutes per row", memory("three seconds to turn the work, until the maker has timed it")
)
DEFAULT_BUTTON: Final = Fact(4.0, "minutes per button", _FIXED)
DEFAULT_TRYING_ON: Final = Fact(10.0, "minutes", _FIXED)
DEFAULT_PACKING: Final = Fact(15.0, "minutes", _FIXED)
DEFAULT_ALLOWANCE: Final = Fact(
    0.15,
    "share of shift time",
    published("29 CFR 525.12(h)(2)(ii): not less than 15 %, 9 to 10 minutes in an hour"),
)
DEFAULT_WAGE: Final = Fact(
    15,
    "currency units an hour",
    memory("a start value, of the right order in a few currencies only; to be replaced"),
)
DEFAULT_OVERHEAD: Final = Fact(0.1, "share of materials and labour", _FIXED)
DEFAULT_MARGIN: Final = Fact(0.1, "share of the price", _FIXED)
LEAST_PACE: Final = Fact(0.1, "per minute", derived("slower than this nothing is finished"))
MOST_MINUTES: Final = Fact(1440.0, "minutes", derived("a day"))
MOST_SHARE: Final = Fact(0.9, "share", derived("above this a price has no sensible value"))
MOST_MARKUP: Final = Fact(9.0, "share of cost", derived("a margin of 90 percent: 0.9 / (1 - 0.9)"))
MOST_FEE: Final = Fact(0.4, "share", derived("with tax up to 100 percent, half is left: below it"))
WAGE_MEANT_FOR: Final = frozenset({"AUD", "CAD", "CHF", "EUR", "GBP", "NZD", "SGD", "USD"})
"""Currencies in which the start wage is of the right order; in yen or forint it is nothing."""


class AllowanceOf(StrEnum):
    """What the allowance is a share of: of the shift, work / (1 - a); of the work, work x (1 + a).

    15 % of the shift is 17.6 % of the work.
    """

    SHIFT = "shift"
    WORK = "work"


class Profit(StrEnum):
    """What the profit is a share of: a margin of the price, a markup of the cost.

    A markup of 40 % is a margin of 28.6 %.
    """

    MARGIN = "margin"
    MARKUP = "markup"


class TaxQuoted(StrEnum):
    """Whether the price is made round with the tax in it, or before the tax is put on."""

    INCLUSIVE = "inclusive"
    EXCLUSIVE = "exclusive"


@dataclass(frozen=True, slots=True)
class Pace:
    """Stitches per minute, by kind."""

    chain: float = DEFAULT_CHAIN_PACE.value
    sc: float = DEFAULT_PACE.value
    sc_blo: float = DEFAULT_RIB_PACE.value
    dec: float = DEFAULT_DECREASE_PACE.value
    seam: float = DEFAULT_SEAM_PACE.value

    def __post_init__(self) -> None:
        """Refuse a pace at which nothing is ever finished."""
        paces = (self.chain, self.sc, self.sc_blo, self.dec, self.seam)
        if not all(LEAST_PACE.value <= pace < inf for pace in paces):
            raise ValueOutOfRangeError(
                "pace", f"A pace is {LEAST_PACE.value:g} stitches a minute or more."
            )

    def timed(self, timings: Iterable[Timing]) -> "Pace":
        """Return the pace that a stopwatch shows, beginning from this one."""
        return Pace(**learned_paces(asdict(self), timings))


@dataclass(frozen=True, slots=True)
class FixedMinutes:
    """Minutes for what does not depend on the stitch count."""

    swatch: float = DEFAULT_SWATCH.value
    per_end: float = DEFAULT_ENDS.value
    trying_on: float = DEFAULT_TRYING_ON.value
    packing: float = DEFAULT_PACKING.value
    per_turn: float = DEFAULT_TURN.value
    per_button: float = DEFAULT_BUTTON.value

    def __post_init__(self) -> None:
        """Refuse time that runs backwards."""
        tasks = (
            self.swatch, self.per_end, self.trying_on, self.packing, self.per_turn,
            self.per_button,
        )  # fmt: skip
        if not all(0 <= minutes <= MOST_MINUTES.value for minutes in tasks):
            raise ValueOutOfRangeError(
                "fixed_minutes", f"A task takes from 0 to {MOST_MINUTES.value:g} minutes."
            )


@dataclass(frozen=True, slots=True)
class Rates:
    """The maker's settings.

    Attributes:
        currency: ISO 4217 code.
        wage_per_hour: what the maker wants to earn an hour.
        pace: stitches per minute.
        minutes: fixed tasks.
        allowance: rest and interruptions, as a share of what `allowance_of` says.
        overhead: other costs, as a share of materials and labour.
        margin: profit, as a share of the price without tax and fee; read for `Profit.MARGIN`.
        fee_share: payment fee, as a share of what the buyer pays.
        fee_fixed: payment fee, fixed part.
        tax: tax on the price; 0 for none. Local law decides whether it is due.
        allowance_of: shift time or work time.
        learning: time for each doubling of the number made, for a kind that is not known by
            heart; 1 for none, 0.8 for hand work (`sizing.timing.HAND_LEARNING`).
        overhead_per_hour: other costs by the hour, on top of the share.
        profit: whether the profit is a margin or a markup; never both.
        markup: profit, as a share of the cost; read for `Profit.MARKUP`.
        discount: taken off the price before fee and tax; the maker bears it.
        deposit: asked before the work begins, as a share of the total.
        fee_tax: tax on the fee that the maker cannot reclaim, as a share of the fee.
        tax_quoted: whether the price is made round with the tax in it or before it.
        button_cost: what one button costs to buy again.
        wage_chosen: whether the maker has set the wage; the start value is no decision.
    """

    currency: str = "EUR"
    wage_per_hour: Decimal = Decimal(str(DEFAULT_WAGE.value))
    pace: Pace = Pace()
    minutes: FixedMinutes = FixedMinutes()
    allowance: float = DEFAULT_ALLOWANCE.value
    overhead: Decimal = Decimal(str(DEFAULT_OVERHEAD.value))
    margin: Decimal = Decimal(str(DEFAULT_MARGIN.value))
    fee_share: Decimal = Decimal(0)
    fee_fixed: Decimal = Decimal(0)
    tax: Decimal = Decimal(0)
    allowance_of: AllowanceOf = AllowanceOf.SHIFT
    learning: float = DEFAULT_LEARNING.value
    overhead_per_hour: Decimal = Decimal(0)
    profit: Profit = Profit.MARGIN
    markup: Decimal = Decimal(0)
    discount: Decimal = Decimal(0)
    deposit: Decimal = Decimal(0)
    fee_tax: Decimal = Decimal(0)
    tax_quoted: TaxQuoted = TaxQuoted.INCLUSIVE
    wage_chosen: bool = False
    button_cost: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        """Refuse settings that give no price."""
        unit_of(self.currency)
        for name in _DECIMALS:
            if not getattr(self, name).is_finite():  # Decimal's NaN cannot even be compared
                raise ValueOutOfRangeError(name, f"{_shown(name)} is not a number.")
        for name, most in _MOST.items():
            if not 0 <= getattr(self, name) <= most:
                reason = f"{_shown(name)} goes from 0 to {most:.0%}."
                raise ValueOutOfRangeError(name, reason)
        for name in ("wage_per_hour", "fee_fixed", "overhead_per_hour", "button_cost"):
            if not 0 <= getattr(self, name) <= MOST_MONEY.value:
                raise ValueOutOfRangeError(name, f"{_shown(name)} cannot be below 0 or so large.")
        if not LEAST_LEARNING.value < self.learning <= 1:
            raise ValueOutOfRangeError("learning", "Learning goes from over 50% to 100%.")
        if self.whole_fee_share > MOST_FEE.value:
            raise ValueOutOfRangeError(
                "fee_tax", f"With its tax a fee goes to {MOST_FEE.value:.0%}."
            )

    @property
    def whole_fee_share(self) -> Decimal:
        """Return the fee's share of what the buyer pays, with the tax on the fee."""
        return self.fee_share * (1 + self.fee_tax)

    @property
    def whole_fee_fixed(self) -> Decimal:
        """Return the fee's fixed part, with the tax on the fee."""
        return self.fee_fixed * (1 + self.fee_tax)

    @property
    def wage_note(self) -> str:
        """Return what to say while the wage is a start value, or nothing."""
        if self.wage_chosen or self.wage_per_hour != int(DEFAULT_WAGE.value):
            return ""
        start = f"{DEFAULT_WAGE.value:g} {self.currency} an hour"
        if self.currency in WAGE_MEANT_FOR:
            return f"The wage is a start value, {start}: set your own before you quote."
        return f"{start} is no wage but an unset start value: set your own, then the price counts."


_MOST: Final[dict[str, float]] = {
    "allowance": MOST_SHARE.value,
    "margin": MOST_SHARE.value,
    "fee_share": MOST_FEE.value,
    "discount": MOST_SHARE.value,
    "markup": MOST_MARKUP.value,
    "overhead": 1,
    "tax": 1,
    "deposit": 1,
    "fee_tax": 1,
}
_DECIMALS: Final = (
    "wage_per_hour", "overhead", "margin", "fee_share", "fee_fixed", "tax",
    "overhead_per_hour", "markup", "discount", "deposit", "fee_tax", "button_cost",
)  # fmt: skip


def _shown(name: str) -> str:
    return name.replace("_", " ").capitalize()
