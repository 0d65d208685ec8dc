"""Every row of docs/evidence.md is a test: it agrees within its tolerance, or says why not."""

import ast
from math import inf
from pathlib import Path

import pytest

from tests.sizing.outside.check import Check, Source, Strength, Value, Within, compare, result_of
from tests.sizing.outside.registry import ROWS, THEMES

HERE = Path(__file__).parent
MADE_UP = Source("nobody", Strength.D)


@pytest.mark.parametrize("check", ROWS, ids=lambda check: check.key)
def test_a_row_agrees_or_says_why_it_does_not(check: Check) -> None:
    found = result_of(check)

    if check.differs:
        assert not found.agrees, f"it agrees now ({found}): take its reason away"
    else:
        assert found.agrees, found


def test_each_row_has_a_key_of_its_own() -> None:
    keys = [check.key for check in ROWS]

    assert len(set(keys)) == len(keys) >= 150
    assert all(key.replace("-", "").isalnum() and key == key.lower() for key in keys)
    assert all(THEMES.values())


@pytest.mark.parametrize("check", ROWS, ids=lambda check: check.key)
def test_no_tolerance_is_so_wide_that_a_row_could_hardly_fail(check: Check) -> None:
    assert check.within.share <= 0.35
    there = result_of(check).there
    numbers = there if isinstance(there, tuple) else (there,)
    for number in numbers:
        if isinstance(number, str) or abs(number) in {0, inf}:
            continue
        assert check.within.amount <= 0.35 * abs(number)
    # What is wider than rounding and float dust says where its width comes from.
    assert check.within.why or check.within.share <= 0.2


@pytest.mark.parametrize("check", [one for one in ROWS if one.differs], ids=lambda one: one.key)
def test_a_row_that_differs_gives_its_reason_in_a_sentence(check: Check) -> None:
    assert len(check.differs.split()) >= 8
    assert check.differs.endswith(".")


@pytest.mark.parametrize(
    "also", sorted({check.also for check in ROWS if check.also}), ids=lambda also: also
)
def test_each_further_test_that_is_named_is_there(also: str) -> None:
    file, _, function = also.partition("::")
    tree = ast.parse((HERE / file).read_text(encoding="utf-8"))

    names = {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}
    assert function in names
    assert function.startswith("test_")


@pytest.mark.parametrize(
    ("there", "ours", "within", "agrees", "apart"),
    [
        (10.0, 10.4, Within(0.5), True, 0.4),
        (10.0, 10.6, Within(0.5), False, 0.6),
        (10.0, 9.4, Within(share=0.05), False, -0.6),
        (10.0, 9.6, Within(share=0.05), True, -0.4),
        ((8.0, 11.0), 9.5, Within(), True, 0.0),
        ((8.0, 11.0), 7.0, Within(), False, -1.0),
        ((8.0, 11.0), 11.5, Within(share=0.05), True, 0.5),
        ((-inf, 5.0), 4.0, Within(), True, 0.0),
        ((-inf, 5.0), 6.0, Within(), False, 1.0),
        ((16.0, inf), 15.0, Within(), False, -1.0),
        ((8.0, 11.0), (8.0, 13.0), Within(share=0.1), False, 2.0),
        ((8.0, 11.0), (7.5, 11.0), Within(share=0.1), True, -0.5),
        (0.0, 1e-12, Within(), True, 1e-12),
        (0.0, 1e-6, Within(), False, 1e-6),
        (2.0, float("nan"), Within(share=0.3), False, None),
        ("dc", "dc", Within(), True, None),
        ("dc", "sc", Within(), False, None),
    ],
)
def test_a_difference_is_seen_and_measured(
    there: Value,
    ours: Value,
    within: Within,
    agrees: bool,  # noqa: FBT001 - the row of a table
    apart: float | None,
) -> None:
    found = compare(there, ours, within)

    assert found.agrees is agrees
    if apart is not None:
        assert found.apart == pytest.approx(apart)


def test_a_word_is_not_compared_with_a_number() -> None:
    with pytest.raises(TypeError, match="word"):
        compare("ten", 10.0, Within())


def test_ours_is_reckoned_each_time_and_theirs_may_be() -> None:
    made = iter((3.0, 4.0))
    check = Check("made-up", "a made-up row", MADE_UP, lambda: 3.0, lambda: next(made), "mm")

    assert result_of(check).agrees
    assert not result_of(check).agrees
