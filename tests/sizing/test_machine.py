from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from sizing.errors import PatternFaultError
from sizing.machine import replay
from sizing.pattern import pattern_of
from sizing.rowplan import RowPlan
from sizing.rows import Op, Operation, PartName
from tests.sizing.builders import row_plan
from tests.sizing.mutators import MUTATORS, Mutator, odd_collar, with_row


@st.composite
def row_plans(draw: st.DrawFn) -> RowPlan:
    """Small row plans of every kind, so that a fault has nowhere to hide."""
    nape = draw(st.lists(st.integers(0, 1), max_size=5))
    crown = draw(st.lists(st.integers(0, 2), max_size=5))
    last = 2 * draw(st.integers(3, 6))
    return RowPlan(
        collar_stitches=draw(st.integers(2, 8)),
        collar_rows=last + 2 * sum(nape + crown),
        hood_rows=2 + 2 * len(nape + crown) + draw(st.integers(0, 1)),
        crown_row=3 + 2 * len(nape),
        pairs=tuple(nape + crown),
    )


@given(row_plans())
def test_every_pattern_of_a_sound_row_plan_is_accepted(plan: RowPlan) -> None:
    made = dict(replay(pattern_of(plan)).made)

    decreases = 2 * sum(plan.pairs)
    assert made[Op.SC_BLO] == plan.collar_stitches * (plan.collar_rows - 1)
    assert made.get(Op.DEC, 0) == decreases
    assert made[Op.SL_ST] == plan.collar_stitches
    assert made[Op.WHIP] == plan.last_stitches // 2


@pytest.mark.parametrize("mutator", MUTATORS, ids=lambda mutator: mutator.__name__)
@given(plan=row_plans(), where=st.integers(0, 10_000))
def test_every_spoiled_pattern_is_refused(mutator: Mutator, plan: RowPlan, where: int) -> None:
    sound = pattern_of(plan)
    spoiled = mutator(sound, where)
    assume(spoiled is not None)
    assert spoiled is not None
    assert spoiled != sound

    with pytest.raises(PatternFaultError) as caught:
        replay(spoiled)

    assert caught.value.part
    assert str(caught.value).startswith(caught.value.part)


@pytest.mark.parametrize("mutator", MUTATORS, ids=lambda mutator: mutator.__name__)
def test_a_fault_anywhere_in_a_real_hood_is_refused(mutator: Mutator) -> None:
    sound = pattern_of(row_plan())
    rows = sum(len(part.rows) for part in sound.parts)

    for where in range(2 * rows):
        spoiled = mutator(sound, where)
        if spoiled is not None:
            with pytest.raises(PatternFaultError):
                replay(spoiled)


def test_what_a_hood_takes_is_counted_stitch_by_stitch() -> None:
    # 11 chains; 10 sc and 39 rows of 10 back-loop sc; 10 slip stitches; a hood of 24 rows
    # from 40 stitches, 32 decreases; 8 stitches left, sewn in pairs.
    made = replay(pattern_of(row_plan()))

    kinds = dict(made.made)
    hood = pattern_of(row_plan()).part(PartName.HOOD)
    worked = sum(row.stitches for row in hood.rows)
    assert made.chains == 11
    assert kinds == {
        Op.SC: 10 + worked - 32, Op.SC_BLO: 390, Op.DEC: 32, Op.SL_ST: 10, Op.WHIP: 4,
    }  # fmt: skip


def test_a_fault_names_the_part_and_the_row() -> None:
    sound = pattern_of(row_plan())
    hood = sound.part(PartName.HOOD)
    row = replace(hood.rows[4], operations=(Operation(Op.SC, 38),))

    with pytest.raises(PatternFaultError, match=r"hood, row 5: it says 36 stitches") as caught:
        replay(with_row(sound, hood, 4, row))

    assert (caught.value.part, caught.value.row) == ("hood", 5)


def test_a_row_may_name_its_stitches_in_several_steps() -> None:
    sound = pattern_of(row_plan())
    hood = sound.part(PartName.HOOD)
    steps = (Operation(Op.SC, 15), Operation(Op.SC, 25))

    again = with_row(sound, hood, 1, replace(hood.rows[1], operations=steps))

    assert replay(again) == replay(sound)


def test_an_odd_collar_is_refused_at_the_collar_and_not_later() -> None:
    # Its last row would end at the wrong end of the foundation chain, away from the seam.
    spoiled = odd_collar(pattern_of(row_plan()), 0)
    assert spoiled is not None

    with pytest.raises(PatternFaultError, match="even number of rows") as caught:
        replay(spoiled)

    assert caught.value.part == "collar"


def test_a_row_of_nothing_but_decreases_is_refused_for_want_of_a_front_edge() -> None:
    sound = pattern_of(RowPlan(3, 10, hood_rows=3, crown_row=3, pairs=(2,)))
    hood = sound.part(PartName.HOOD)
    row = replace(hood.rows[2], operations=(Operation(Op.DEC, 5),), stitches=5)

    with pytest.raises(PatternFaultError, match="front edge"):
        replay(with_row(sound, hood, 2, row))
