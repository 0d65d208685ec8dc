"""Pace, rest and learning."""

from functools import cache
from math import exp, log2

from scipy.stats import norm

from sizing.gauge import Swatch
from sizing.labour import Labour
from sizing.plan import make_plan
from sizing.rates import AllowanceOf, Pace, Rates
from sizing.timing import HAND_LEARNING, PACE_SD, learning_factor
from tests.sizing.builders import request
from tests.sizing.outside import sources
from tests.sizing.outside.check import Check, Within

SWATCH = Swatch(12.5, 14.3, 12.5, 14.1)
REST = "rest and interruptions"


@cache
def _labour(share: float, of: AllowanceOf) -> Labour:
    rates = Rates(allowance=share, allowance_of=of)
    return make_plan(request(rates=rates, swatch=SWATCH)).labour


def _rest(found: Labour) -> float:
    return next(task.minutes for task in found.tasks if task.name == REST)


def _usual() -> Labour:
    return make_plan(request(rates=Rates(), swatch=SWATCH)).labour


def _of_hour() -> float:
    """Minutes of rest in an hour at the bench, as the start value has it."""
    return 60 * _rest(_usual()) / _usual().minutes


def _of_work() -> float:
    """The same in percent of the work."""
    return 100 * _rest(_usual()) / (_usual().minutes - _rest(_usual()))


def _standard(share: float, of: AllowanceOf) -> float:
    """Standard time for each minute of work."""
    found = _labour(share, of)
    return found.minutes / (found.minutes - _rest(found))


def _step(rate: float, first: int, then: int) -> float:
    """The time of one piece against that of an earlier one, both counted from 1."""
    return learning_factor(then - 1, rate) / learning_factor(first - 1, rate)


def _quick() -> float:
    """The sc a minute that only one maker in forty passes, as we believe before a stopwatch."""
    return Pace().sc * exp(float(norm.ppf(0.975)) * PACE_SD.value)


_LABOUR = "test_labour.py::"
_DOUBLING = f"{_LABOUR}test_each_doubling_takes_the_same_share_of_the_time"

CHECKS = (
    Check("pace", "Sc a minute before the stopwatch, beside an experienced maker's dc",
          sources.PACE, (18.0, 20.0), lambda: Pace().sc, "a minute", taken=True),
    Check("pace-rib", "Back-loop sc a minute, beside the same", sources.PACE, (18.0, 20.0),
          lambda: Pace().sc_blo, "a minute", taken=True),
    Check("pace-quick", "Pace that one maker in forty passes: no less than the contest's"
          " champion, no more than the record", sources.PACE, (31.0, 147.0), _quick, "a minute"),
    Check("pace-record", "Our quickest start pace, a chain, beside the record", sources.RECORD,
          (0.0, 147.0), lambda: Pace().chain, "a minute"),
    Check("rest-hour", "Rest in an hour at the bench", sources.CFR_525, (9.0, 10.0), _of_hour,
          "min", taken=True, also=f"{_LABOUR}"
          "test_an_allowance_of_15_percent_of_the_shift_is_17_6_percent_of_the_work"),
    Check("rest-table", "The same as a share of the work, beside another table", sources.ILO,
          (9.0, 14.0), _of_work, "%", Within(1.0, why="whole percents"),
          differs="The two rules disagree; ours follows the law's, which is the more generous to"
          " the maker. A setting."),
    Check("standard-shift", "Standard time for an hour's work, 15 % of the shift",
          sources.HANDBOOK, 60 / (1 - 0.15), lambda: 60 * _standard(0.15, AllowanceOf.SHIFT),
          "min", also=f"{_LABOUR}"
          "test_an_allowance_of_the_work_is_less_than_one_of_the_shift"),
    Check("standard-work", "Standard time for an hour's work, 15 % of the work",
          sources.HANDBOOK, 60 * (1 + 0.15), lambda: 60 * _standard(0.15, AllowanceOf.WORK),
          "min"),
    Check("learning-rate", "Learning of work that is three quarters by hand", sources.STEWART,
          0.80, lambda: HAND_LEARNING.value, "a doubling", taken=True),
    Check("learning-80", "Second piece beside the first at that rate", sources.STEWART, 0.80,
          lambda: _step(0.80, 1, 2), "of the time", also=_DOUBLING),
    Check("learning-85", "Half by hand: fourth piece beside the second", sources.STEWART, 0.85,
          lambda: _step(0.85, 2, 4), "of the time", also=_DOUBLING),
    Check("learning-90", "A quarter by hand: sixth piece beside the third", sources.STEWART,
          0.90, lambda: _step(0.90, 3, 6), "of the time", also=_DOUBLING),
    Check("learning-third", "Third piece beside the first, 80 %", sources.WRIGHT,
          3 ** log2(0.8), lambda: _step(0.80, 1, 3), "of the time"),
)  # fmt: skip
