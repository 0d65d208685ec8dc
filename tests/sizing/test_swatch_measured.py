"""What a swatch says of the yarn in a stitch, and how sure it is."""

from dataclasses import replace
from typing import Any

import pytest

from sizing.calibrate import MAKER, hood_observation, swatch_observation
from sizing.errors import ValueOutOfRangeError
from sizing.gauge import Swatch
from sizing.shrink import Observation, learned
from tests.sizing.builders import yarn

COUNTED = Swatch(12.5, 14.3, 12.5, 14.1)


def seen(**measured: float) -> Observation:
    given: dict[str, Any] = measured
    found, _ = swatch_observation(replace(COUNTED, **given), yarn())
    assert found
    return found


def test_an_unmeasured_swatch_says_nothing() -> None:
    assert swatch_observation(COUNTED, yarn()) == (None, ())


def test_unravelling_and_weighing_the_same_piece_say_the_same() -> None:
    # 8 cm of yarn a stitch, at 2 m a gram: 20 g for 500 stitches, 160 cm for 20.
    weighed = seen(weighed_grams=20, weighed_stitches=500)
    undone = seen(unravelled_mm=1600, unravelled_stitches=20)

    assert weighed.actual == pytest.approx(80)
    assert undone.actual == pytest.approx(80)


def test_a_heavier_swatch_and_more_undone_stitches_are_surer() -> None:
    # A scale that is out by a gram: 10 percent of 10 g, so ask for 20.
    assert seen(weighed_grams=40, weighed_stitches=1000).sd < 0.06
    assert seen(weighed_grams=5, weighed_stitches=125).sd > 0.12
    few = seen(unravelled_mm=240, unravelled_stitches=3)
    many = seen(unravelled_mm=2400, unravelled_stitches=30)
    assert many.sd < few.sd


def test_both_together_are_surer_but_no_surer_than_a_swatch_can_be() -> None:
    both = seen(weighed_grams=20, weighed_stitches=500, unravelled_mm=1680, unravelled_stitches=20)

    assert 80 < both.actual < 84
    assert 0.05 < both.sd < seen(weighed_grams=20, weighed_stitches=500).sd


@pytest.mark.parametrize(
    "wrong",
    [
        {"unravelled_mm": 700}, {"unravelled_stitches": 10},
        {"unravelled_mm": 0, "unravelled_stitches": 10},
        {"unravelled_mm": -1, "unravelled_stitches": 10},
        {"unravelled_mm": 700, "unravelled_stitches": 0},
        {"unravelled_mm": float("nan"), "unravelled_stitches": 10},
        {"unravelled_mm": 99_999, "unravelled_stitches": 10},
    ],
)  # fmt: skip
def test_half_an_unravelling_and_an_impossible_one_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(ValueOutOfRangeError) as caught:
        replace(COUNTED, **wrong)

    assert caught.value.field == "unravelled_mm"


def test_finished_hoods_teach_the_factor() -> None:
    hoods = [hood_observation(50, actual) for actual in (60, 58, 62, 61, 59)]
    found = learned(MAKER, hoods)

    assert found.factor == pytest.approx(1.2, abs=0.01)
    assert found.sd < 0.03


def test_a_hood_without_grams_teaches_nothing() -> None:
    with pytest.raises(ValueOutOfRangeError):
        hood_observation(50, 0)
    with pytest.raises(ValueOutOfRangeError):
        hood_observation(0, 50)
