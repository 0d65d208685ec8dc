"""Swatches whose counts cannot be, found; true ones left in peace.

The outside checks: the standard table's ranges of stitches by class (Craft Yarn Council, Standard
Yarn Weight System) and published pairs of stitch and row gauge (`ROWS_PER_STITCH_PLAIN`).
"""

from collections.abc import Mapping
from dataclasses import replace
from math import exp
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.doctor.findings import Severity
from sizing.gauge import DEFAULT_STITCHES, ROWS_PER_STITCH_RIB, Swatch
from sizing.plan import make_plan
from sizing.swatches import COUNTS, NAMES, swatch_findings, usual_counts
from sizing.yarns import WeightClass, Yarn
from tests.sizing.builders import request, yarn
from tests.sizing.outside.gauge import PAIRS, STITCHES

GOOD = Swatch(13, 15, 13, 14.5, hook_mm=5.0)
RANGES: dict[WeightClass, tuple[float, float]] = {
    one: ends
    for one, ends in STITCHES.items()
    if one not in {WeightClass.LACE, WeightClass.JUMBO}  # double crochet, and no lower end
}
ROWS = (min(rows / stitches for stitches, rows in PAIRS), max(r / s for s, r in PAIRS))
"""Rows per stitch in plain single crochet: the seven published pairs' ends."""


def counted(counts: Mapping[str, float], hook_mm: float | None = 5.0) -> Swatch:
    rib, plain = (counts["rib_stitches"], counts["rib_rows"]), counts["plain_stitches"]
    return Swatch(*rib, plain, counts["plain_rows"], hook_mm)


GIVEN = {name: float(getattr(GOOD, name)) for name in COUNTS}


def scaled(by: float) -> Swatch:
    return counted({name: count / by for name, count in GIVEN.items()})


def message(swatch: Swatch, wool: Yarn | None = None) -> str:
    found = swatch_findings(wool or yarn(), swatch)
    return found[0].message if found else ""


@pytest.mark.parametrize("weight_class", RANGES)
def test_the_standard_table_s_own_gauges_are_not_asked_after(weight_class: WeightClass) -> None:
    for stitches in RANGES[weight_class]:
        for rows in ROWS:
            rib = stitches * ROWS_PER_STITCH_RIB.value
            swatch = Swatch(stitches, rib, stitches, stitches * rows)
            assert swatch_findings(yarn(weight_class=weight_class), swatch) == ()


def test_true_swatches_are_hardly_asked_after() -> None:
    """Hands that spread by 0.2 and counts by 0.07, as the sources of the two spreads have it."""
    chance = Random(5)  # noqa: S311 - swatches are no secret
    asked = 0
    for _ in range(4000):
        wool = yarn(weight_class=chance.choice(list(DEFAULT_STITCHES)))
        hands = exp(chance.gauss(0, 0.2))
        counts = {
            name: usual * hands * exp(chance.gauss(0, 0.07))
            for name, usual in usual_counts(wool, None).items()
        }
        made = counted(counts, None)
        asked += bool(swatch_findings(wool, made))
    assert asked / 4000 < 0.01


def test_a_slip_in_one_count_is_told() -> None:
    """Digits swapped, counted over 5 cm or an inch, a point off; whole sentences."""
    ending = " Count again over 10 cm."
    beside = "of the swatch beside the three other counts: about"
    told = {
        (
            "rib_stitches",
            31.0,
        ): f"31 is many for the rib stitches {beside} 13 would go with"
        " them. 31 may be 13, two digits swapped.",
        ("rib_stitches", 31.5): f"31.5 is many for the rib stitches {beside} 13 would go with"
        " them. 31.5 may be 13.5, two digits swapped.",
        ("rib_rows", 51.0): f"51 is many for the rib rows {beside} 14.9 would go with them. 51 may"
        " be 15, two digits swapped.",
        ("plain_rows", 7.25): f"7.25 is few for the plain rows {beside} 14.7 would go with them."
        " 7.25 may be 14.5, counted over 5 cm.",
        ("plain_stitches", 3.25): f"3.25 is few for the plain stitches {beside} 13 would go with"
        " them. 3.25 may be 12.8, counted over an inch.",
        ("rib_rows", 33.0): f"33 is many for the rib rows {beside} 14.9 would go with them.",
        ("rib_rows", 30.0): f"30 is many for the rib rows {beside} 14.9 would go with them.",
        ("rib_rows", 60.0): f"60 is many for the rib rows {beside} 14.9 would go with them.",
    }
    for (name, count), said in told.items():
        (found,) = swatch_findings(yarn(), counted(GIVEN | {name: count}))
        assert found.severity is Severity.QUERY
        assert found.field == name
        assert found.message == said + ending


def test_a_point_one_place_off_is_told_either_way() -> None:
    thick = yarn(weight_class=WeightClass.JUMBO)
    fine = yarn(weight_class=WeightClass.SUPER_FINE)
    usual = usual_counts(thick, None)
    more = counted({**usual, "rib_rows": usual["rib_rows"] * 10}, None)
    assert "may be 5.73, with its point one place off" in message(more, thick)
    usual = usual_counts(fine, None)
    less = counted({**usual, "rib_rows": usual["rib_rows"] / 10}, None)
    assert "may be 30.4, with its point one place off" in message(less, fine)


def test_digits_are_swapped_in_either_direction() -> None:
    fine = yarn(weight_class=WeightClass.SUPER_FINE)
    usual = {**usual_counts(fine, None), "rib_rows": 13.0}
    assert "13 may be 31, two digits swapped" in message(counted(usual, None), fine)


def test_usual_counts_are_the_table_s() -> None:
    usual = usual_counts(yarn(), 5.0)
    assert usual == pytest.approx(
        {"rib_stitches": 12.5, "rib_rows": 14.32, "plain_stitches": 12.5, "plain_rows": 14.125},
        rel=1e-3,
    )
    assert usual_counts(yarn(), None) == usual  # 5 mm is the class's own hook
    assert usual_counts(yarn(), 7.2)["rib_rows"] == pytest.approx(
        14.32 * (5 / 7.2) ** 0.5, rel=1e-3
    )


def test_what_is_no_gauge_is_refused_by_the_plan_and_not_asked_after() -> None:
    for odd in (1.5, 90.0):
        assert swatch_findings(yarn(), counted(GIVEN | {"rib_rows": odd})) == ()
    for edge in (2.0, 80.0):
        assert swatch_findings(yarn(), counted(GIVEN | {"rib_rows": edge}))


def test_of_two_odd_counts_the_one_further_off_is_told() -> None:
    for rib, plain, further in ((24.0, 60.0, "plain_rows"), (60.0, 24.0, "rib_rows")):
        two = counted(GIVEN | {"rib_rows": rib, "plain_rows": plain})
        (found,) = swatch_findings(yarn(), two)
        assert found.field == further
    fine = yarn(weight_class=WeightClass.SUPER_FINE)
    usual = usual_counts(fine, None)
    both = {**usual, "rib_rows": usual["rib_rows"] / 2.5, "plain_rows": usual["plain_rows"] * 1.9}
    (found,) = swatch_findings(fine, counted(both, None))
    assert found.field == "rib_rows"


def test_all_counts_over_an_inch_or_five_centimetres_are_told() -> None:
    assert "Were they counted over an inch?" in message(scaled(3.937))
    assert "Were they counted over 5 cm?" in message(scaled(2))
    assert message(Swatch(40, 46, 40, 45)) == (
        "The counts of the swatch are many for this class of yarn: about 12.5 plain stitches over"
        " 10 cm would be usual, not 40. Look at the yarn's class, the hook, and count again over"
        " 10 cm."
    )
    for by, looser in ((3.937, "few"), (2, "few"), (0.5, "many"), (0.3, "many")):
        (found,) = swatch_findings(yarn(), scaled(by))
        assert f"are {looser} for this class" in found.message
        assert found.field == "plain_stitches"


def test_a_thicker_hook_makes_a_looser_gauge_usual() -> None:
    wool = yarn()
    assert usual_counts(wool, 10.0)["plain_stitches"] < usual_counts(wool, 5.0)["plain_stitches"]


def test_a_plan_carries_the_query_and_is_made() -> None:
    plan = make_plan(replace(request(), swatch=replace(GOOD, rib_rows=51)))
    assert [one.field for one in plan.findings] == ["rib_rows"]
    assert make_plan(replace(request(), swatch=GOOD)).findings == ()


@given(
    counts=st.tuples(*(st.floats(2, 80) for _ in COUNTS)),
    weight_class=st.sampled_from(WeightClass),
    hook=st.one_of(st.none(), st.floats(0.5, 30)),
)
def test_any_swatch_gives_at_most_one_query(
    counts: tuple[float, float, float, float], weight_class: WeightClass, hook: float | None
) -> None:
    found = swatch_findings(yarn(weight_class=weight_class), Swatch(*counts, hook_mm=hook))
    assert len(found) <= 1
    for one in found:
        assert one.severity is Severity.QUERY
        assert one.field in NAMES
