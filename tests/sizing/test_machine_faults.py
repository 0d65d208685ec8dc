"""Faults that the machine must refuse by themselves, where nothing else is wrong."""

from dataclasses import replace

import pytest

from sizing.errors import PatternFaultError
from sizing.machine import replay
from sizing.pattern import pattern_of
from sizing.rows import Op, Operation, Part, PartName, Pattern, Row, Side
from sizing.variants import Make
from sizing.wishes import Wishes
from tests.sizing.builders import row_plan
from tests.sizing.mutators import with_part, with_row
from tests.sizing.test_variants import EVERYTHING, hood_of


def caught(pattern: Pattern) -> PatternFaultError:
    with pytest.raises(PatternFaultError) as found:
        replay(pattern)
    return found.value


def with_tube(first: Row, *more: Row) -> Pattern:
    part = Part(PartName.TUBE, (first, *more), rounds=True)
    return pattern_of(row_plan(), Make(add_ons=(part,)))


def test_an_overlap_of_less_than_nothing_is_none() -> None:
    # 39 rows and an overlap of -1 would make a girth of 40, which is even.
    sound = hood_of(Wishes(buttoned=True))
    collar = sound.part(PartName.COLLAR)
    spoiled = with_part(sound, replace(collar, rows=collar.rows[:39], overlap=-1))

    fault = caught(spoiled)
    assert (fault.part, fault.row) == ("collar", 39)
    assert "an overlap and its buttonholes" in str(fault)


@pytest.mark.parametrize("end", ["first", "last"])
def test_a_buttonhole_at_either_edge_of_the_collar_is_none(end: str) -> None:
    sound = hood_of(Wishes(buttoned=True))
    collar = sound.part(PartName.COLLAR)
    at = next(
        place
        for place, row in enumerate(collar.rows)
        if any(operation.op is Op.CH for operation in row.operations)
    )
    before, *holes, after = collar.rows[at].operations
    together = replace(before, count=before.count + after.count)
    moved = (*holes, together) if end == "first" else (together, *holes)
    spoiled = with_row(sound, collar, at, replace(collar.rows[at], operations=moved))

    fault = caught(spoiled)
    assert (fault.part, fault.row) == ("collar", at + 1)


def test_a_ring_holds_three_stitches() -> None:
    three, two = (Row(1, Side.RIGHT, (Operation(Op.SC, n),), n) for n in (3, 2))

    replay(with_tube(three))
    assert "too few for a ring" in str(caught(with_tube(two)))


def test_the_first_fault_of_a_tube_is_laid_to_its_own_row() -> None:
    three = Row(1, Side.RIGHT, (Operation(Op.SC, 3),), 3)
    wrong = Row(2, Side.RIGHT, (Operation(Op.SC, 3),), 4)

    assert caught(with_tube(replace(three, stitches=4))).row == 1
    assert (
        caught(with_tube(replace(three, operations=(Operation(Op.SC, 2),), stitches=2))).row == 1
    )
    assert caught(with_tube(three, wrong)).row == 2


@pytest.mark.parametrize("name", [PartName.COLLAR, PartName.HOOD, PartName.EDGING])
def test_a_row_without_its_colour_is_refused_where_the_others_have_theirs(
    name: PartName,
) -> None:
    sound = hood_of(EVERYTHING)
    part = sound.part(name)
    for place, row in enumerate(part.rows):
        fault = caught(with_row(sound, part, place, replace(row, colour="")))

        assert "colour is missing" in str(fault)
        assert (fault.part, fault.row) == (name.value, row.row)


def test_a_seam_is_sewn_with_the_yarn_at_hand_and_rows_may_change_theirs() -> None:
    sound = hood_of(EVERYTHING)
    replay(sound)
    seam = sound.part(PartName.CROWN_SEAM)
    last = sound.part(PartName.HOOD).rows[-1].colour
    other = next(name for name in ("cream", "rust") if name != last)

    fault = caught(with_row(sound, seam, 0, replace(seam.rows[0], colour=other)))
    assert f"the yarn at hand is {last}" in str(fault)


def test_an_opening_in_the_last_row_is_never_closed() -> None:
    sound = hood_of(Wishes(ear_base_mm=32, ear_from_centre_mm=40))
    hood = sound.part(PartName.HOOD)
    last = next(
        row.row for row in hood.rows if any(operation.op is Op.CH for operation in row.operations)
    )
    fault = caught(with_part(sound, replace(hood, rows=hood.rows[:last])))

    assert "an opening is not closed" in str(fault)
    assert (fault.part, fault.row) == ("hood", last)
