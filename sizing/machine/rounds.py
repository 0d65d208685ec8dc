"""Work in rounds: a spiral from a ring, right side out, never turned."""

from typing import Final

from sizing.evidence import Fact, derived
from sizing.machine.hook import Hook, expect, fault, fresh
from sizing.rows import Op, Part, PartName, Row, Side

LEAST_RING: Final = Fact(3, "stitches", derived("two stitches cannot lie round a ring"))


def _ring(part: Part) -> Hook:
    """Work the first round: all its stitches go into the ring."""
    if not part.rows:
        raise fault(part, 0, "it has no rounds")
    first = part.rows[0]
    expect(part, first, number=1, side=Side.RIGHT, allowed={Op.SC})
    made = sum(operation.count for operation in first.operations)
    if first.stitches != made:
        raise fault(part, 1, f"it says {first.stitches} stitches and makes {made}")
    if made < LEAST_RING.value:
        raise fault(part, 1, f"{made} stitches are too few for a ring")
    return Hook(part, fresh(made))


def _even(part: Part, row: Row) -> int:
    """Return the increases of a round; refuse them where they are not evenly spread."""
    steps = [o.op for o in row.operations for _ in range(o.count)]
    places = [place for place, op in enumerate(steps) if op is Op.INC]
    if places:
        after = [*places[1:], places[0] + len(steps)]
        gaps = [b - a for a, b in zip(places, after, strict=True)]
        if max(gaps) - min(gaps) > 1:
            raise fault(part, row.row, "its increases are not evenly spread")
    return len(places)


def rounds(part: Part) -> Hook:
    """Work a shape in rounds and return the hook with its last loops.

    A disc lies flat only if every round gains as many stitches as the first one has.
    """
    hook = _ring(part)
    step = hook.live
    for number, row in enumerate(part.rows[1:], start=2):
        expect(part, row, number=number, side=Side.RIGHT, allowed={Op.SC, Op.INC})
        hook.work(row)
        gained = _even(part, row)
        if part.part is PartName.DISC and gained != step:
            raise fault(part, number, f"it gains {gained} stitches and not {step}: not flat")
    return hook
