"""The stitch machine counts loops that are alike together; a second one, loop by loop, agrees."""

from collections import Counter

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from sizing.errors import PatternFaultError
from sizing.gauge import Gauge
from sizing.machine import tally
from sizing.machine.flat import hood
from sizing.machine.hook import TAKES, Hook, fresh
from sizing.pattern import pattern_of
from sizing.plan import Request, make_plan
from sizing.rowplan import RowPlan
from sizing.rows import Op, Part, PartName, Pattern, Row
from sizing.variants import Make
from tests.sizing import singly
from tests.sizing.mutators import MUTATORS, Mutator
from tests.sizing.strategies import requests
from tests.sizing.variant_mutators import VARIANT_MUTATORS
from tests.sizing.variants import made_hoods, small_patterns

BEGUN = {PartName.COLLAR, PartName.LEAF}
"""Parts that begin with a chain; of the others the first row makes the loops."""
OF_THE_ROW = ("should come here", "it should be a", "has no place", "without a stitch")
"""Refusals of a row by its number, side and kinds alone, whatever is on the hook."""

Seen = list[tuple[int, bool]]


def _begun(part: Part) -> tuple[int, tuple[Row, ...]]:
    """How many loops a part begins with, and the rows that are then worked into loops."""
    if part.part in BEGUN:
        return (part.foundation_chain or 1) - 1, part.rows
    return (part.rows[0].stitches if part.rows else 0), part.rows[1:]


def _together(part: Part) -> list[Seen | None]:
    """What the machine's hook holds after each row, loop by loop; None where it refuses one."""
    count, rows = _begun(part)
    hook, found = Hook(part, fresh(count)), list[Seen | None]()
    for row in rows:
        if not part.rounds:
            hook.turn()
        try:
            hook.work(row)
        except PatternFaultError:
            return [*found, None]
        found.append([(one.span, one.chain) for one in hook.loops for _ in range(one.number)])
    return found


def _singly(part: Part) -> list[Seen | None]:
    """The same by the second machine."""
    count, rows = _begun(part)
    loops, found = singly.fresh(count), list[Seen | None]()
    for row in rows:
        try:
            loops = singly.worked_row(loops if part.rounds else loops[::-1], row)
        except singly.RefusedError:
            return [*found, None]
        found.append([(loop.span, loop.op is Op.CH) for loop in loops])
    return found


def _worked(pattern: Pattern) -> list[Part]:
    """The parts that are worked into loops: no seam, and no edging."""
    seams = {PartName.COLLAR_SEAM, PartName.CROWN_SEAM, PartName.EDGING}
    return [part for part in pattern.parts if part.part not in seams]


def _agree(pattern: Pattern) -> None:
    for part in _worked(pattern):
        assert _together(part) == _singly(part), part.part
    for work in tally(pattern):
        (part,) = [one for one in pattern.parts if one.part is work.part]
        steps = Counter(
            op for row in part.rows if row.colour == work.colour for op in singly.steps(row)
        )
        del steps[Op.CH], steps[Op.SKIP]
        made = {op: part.copies * count for op, count in steps.items()}
        assert {op: count for op, count in work.made if op in made} == made


def _refused(part: Part) -> bool | None:
    """Whether the machine refuses rows of a hood; None where that has nothing to do with loops."""
    try:
        hood(Hook(part, fresh(part.rows[0].stitches)), part.rows[1:], 1)
    except PatternFaultError as fault:
        return None if any(words in str(fault) for words in OF_THE_ROW) else True
    return False


def _refused_singly(part: Part) -> bool:
    try:
        singly.hood_worked(singly.fresh(part.rows[0].stitches), part.rows[1:])
    except singly.RefusedError:
        return True
    return False


@given(made_hoods())
@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
def test_every_loop_of_every_variant_is_as_if_worked_singly(
    case: tuple[RowPlan, Gauge, Make],
) -> None:
    plan, _, make = case
    pattern = pattern_of(plan, make)

    _agree(pattern)
    part = pattern.part(PartName.HOOD)
    left = singly.hood_worked(singly.fresh(part.rows[0].stitches), part.rows[1:])
    assert hood(Hook(part, fresh(part.rows[0].stitches)), part.rows[1:], 1).live == len(left)


@given(requests())
@settings(max_examples=20, suppress_health_check=[HealthCheck.too_slow])
def test_every_loop_of_a_drawn_dogs_hood_is_as_if_worked_singly(order: Request) -> None:
    _agree(make_plan(order).pattern)


@pytest.mark.parametrize(
    "mutator", [*MUTATORS, *VARIANT_MUTATORS], ids=lambda mutator: mutator.__name__
)
@given(sound=small_patterns(), where=st.integers(0, 10_000))
@settings(
    max_examples=8,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
def test_a_spoiled_row_is_refused_where_it_is_when_worked_singly(
    mutator: Mutator, sound: Pattern, where: int
) -> None:
    spoiled = mutator(sound, where)
    assume(spoiled is not None)
    assert spoiled is not None
    parts = [part for part in _worked(spoiled) if part.rows]
    for operation in (o for part in parts for row in part.rows for o in row.operations):
        # What else there is, no row may have: it is refused before it is worked.
        assume(operation.count > 0 and operation.op in {*TAKES, Op.CH})

    for part in parts:
        assert _together(part) == _singly(part), part.part
    for part in parts:
        if part.part is PartName.HOOD:
            assert _refused(part) in {_refused_singly(part), None}
