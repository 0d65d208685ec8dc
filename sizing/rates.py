"""What the maker's time and the shop cost: the settings behind time and price."""

from dataclasses import dataclass
from decimal import Decimal
from math import inf
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived, memory, published
from sizing.money import MOST_MONEY, unit_of

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
DEFAULT_TRYING_ON: Final = Fact(10.0, "minutes", _FIXED)
DEFAULT_PACKING: Final = Fact(15.0, "minutes", _FIXED)
DEFAULT_ALLOWANCE: Final = Fact(
    0.15,
    "share of shift time",
    published("29 CFR 525.12(h)(2)(ii): not less than 15 %, 9 to 10 minutes in an hour"),
)
DEFAULT_WAGE: Final = Fact(15, "currency units an hour", _FIXED)
DEFAULT_OVERHEAD: Final = Fact(0.1, "share of materials and labour", _FIXED)
DEFAULT_MARGIN: Final = Fact(0.1, "share of the price", _FIXED)
LEAST_PACE: Final = Fact(0.1, "per minute", derived("slower than this nothing is finished"))
MOST_MINUTES: Final = Fact(1440.0, "minutes", derived("a day"))
MOST_SHARE: Final = Fact(0.9, "share", derived("above this a price has no sensible value"))
MOST_FEE: Final = Fact(0.4, "share", derived("with tax up to 100 percent, half is left: below it"))


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


@dataclass(frozen=True, slots=True)
class FixedMinutes:
    """Minutes for what does not depend on the stitch count."""

    swatch: float = DEFAULT_SWATCH.value
    per_end: float = DEFAULT_ENDS.value
    trying_on: float = DEFAULT_TRYING_ON.value
    packing: float = DEFAULT_PACKING.value

    def __post_init__(self) -> None:
        """Refuse time that runs backwards."""
        tasks = (self.swatch, self.per_end, self.trying_on, self.packing)
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
        allowance: rest and interruptions, as a share of shift time.
        overhead: other costs, as a share of materials and labour.
        margin: profit, as a share of the price without tax and fee (not a markup on cost).
        fee_share: payment fee, as a share of what the buyer pays.
        fee_fixed: payment fee, fixed part.
        tax: tax on the price; 0 for none. Local law decides whether it is due.
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

    def __post_init__(self) -> None:
        """Refuse settings that give no price."""
        unit_of(self.currency)
        for name in ("wage_per_hour", "overhead", "margin", "fee_share", "fee_fixed", "tax"):
            if not getattr(self, name).is_finite():  # Decimal's NaN cannot even be compared
                raise ValueOutOfRangeError(name, f"{_shown(name)} is not a number.")
        most = {"allowance": MOST_SHARE, "margin": MOST_SHARE, "fee_share": MOST_FEE}
        for name, limit in most.items():
            if not 0 <= getattr(self, name) <= limit.value:
                reason = f"{_shown(name)} goes from 0 to {limit.value:.0%}."
                raise ValueOutOfRangeError(name, reason)
        for name in ("overhead", "tax"):
            if not 0 <= getattr(self, name) <= 1:
                raise ValueOutOfRangeError(name, f"{_shown(name)} goes from 0 to 100%.")
        for name in ("wage_per_hour", "fee_fixed"):
            if not 0 <= getattr(self, name) <= MOST_MONEY.value:
                raise ValueOutOfRangeError(name, f"{_shown(name)} cannot be below 0 or so large.")


def _shown(name: str) -> str:
    return name.replace("_", " ").capitalize()
