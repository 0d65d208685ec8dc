"""A whole pattern, from the first chain or from what is on the hook already."""

from dataclasses import dataclass
from typing import Final

from sizing.errors import PatternFaultError
from sizing.machine import flat
from sizing.machine.colours import one_colour_each
from sizing.machine.hook import Hook, expect, fault, fresh, gather
from sizing.machine.rounds import rounds
from sizing.machine.tally import Replay, Tally, tally, total
from sizing.rows import ADD_ONS, Op, Part, PartName, Pattern, Side

ORDER: Final = (PartName.COLLAR, PartName.COLLAR_SEAM, PartName.HOOD, PartName.CROWN_SEAM)
CHAINED: Final = frozenset({PartName.COLLAR, PartName.LEAF})
TURNED: Final = frozenset({PartName.COLLAR, PartName.HOOD, PartName.LEAF})


@dataclass(frozen=True, slots=True)
class Held:
    """A piece on the hook: the part, the rows made of it, and its live stitches.

    Nothing is known of the rows below, so the two halves beside the fold count as alike, and
    the last row made must have left no opening.
    """

    part: PartName
    row: int
    stitches: int


def _seam(part: Part, op: Op) -> int:
    """Return the stitches of a seam of one row, worked wrong side out."""
    if len(part.rows) != 1:
        raise fault(part, 0, "a seam is one row")
    row = part.rows[0]
    expect(part, row, number=1, side=Side.WRONG, allowed={op})
    if row.stitches:
        raise fault(part, 1, "a seam leaves no stitches")
    return sum(operation.count for operation in row.operations)


def _collar_seam(part: Part, last_row: int, foundation: int) -> None:
    stitches = _seam(part, Op.SL_ST)
    if not stitches == last_row == foundation:
        reason = f"{stitches} slip stitches join {last_row} stitches to {foundation} chains"
        raise fault(part, 1, reason)


def _crown_seam(part: Part, live: int) -> None:
    stitches = _seam(part, Op.WHIP)
    if 2 * stitches != live:
        raise fault(part, 1, f"{stitches} whip stitches close {live} stitches, two by two")


def _edging(part: Part, hood_rows: int) -> None:
    """Work one row round the face: up one front edge, over the seam, down the other."""
    if len(part.rows) != 1:
        raise fault(part, 0, "the edging is one row")
    row = part.rows[0]
    slipped = any(operation.op is Op.SL_ST for operation in row.operations)
    allowed = {Op.SL_ST, Op.SKIP} if slipped else {Op.SC, Op.INC, Op.SKIP}
    expect(part, row, number=1, side=Side.RIGHT, allowed=allowed)
    gather(part, row, 2 * hood_rows)


def _sound(part: Part) -> None:
    """Refuse what a part cannot have."""
    if part.foundation_chain is not None and part.part not in CHAINED:
        raise fault(part, 0, "it does not begin with a chain")
    if part.turning_chain not in ({0, 1} if part.part in TURNED else {0}):
        raise fault(part, 0, f"{part.turning_chain} chains at a turn")
    if part.overlap and part.part is not PartName.COLLAR:
        raise fault(part, 0, "only a collar laps over")
    if part.rounds != (part.part in ADD_ONS - CHAINED):
        raise fault(part, 0, "flat work and work in rounds are mixed up")
    if part.copies < 1 or (part.copies > 1 and part.part not in ADD_ONS):
        raise fault(part, 0, f"it cannot be made {part.copies} times")


def _in_order(parts: tuple[Part, ...], begin: PartName) -> None:
    """Refuse parts that are missing or out of order; a buttoned collar has no seam."""
    for part in parts:
        _sound(part)
    buttoned = any(part.overlap for part in parts)
    due = [p for p in ORDER if not (buttoned and p is PartName.COLLAR_SEAM)]
    due = due[due.index(begin) :]
    names = [part.part for part in parts]
    rest = names[len(due) :]
    if rest[:1] == [PartName.EDGING]:
        rest = rest[1:]
    if names[: len(due)] != due or any(name not in ADD_ONS for name in rest):
        raise PatternFaultError("pattern", 0, "a part is missing or out of order")
    turns = {part.turning_chain for part in parts if part.part in {PartName.COLLAR, PartName.HOOD}}
    if len(turns) > 1:
        raise PatternFaultError("pattern", 0, "collar and hood are turned differently")


def _after_the_collar(parts: dict[PartName, Part], row_ends: int) -> Hook:
    hood = parts[PartName.HOOD]
    collar = parts.get(PartName.COLLAR)
    overlap = collar.overlap if collar else 0
    hook = flat.picked_up(hood, row_ends - overlap, overlap)
    return flat.hood(hook, hood.rows[1:], 1)


def _body(parts: dict[PartName, Part], held: Held | None) -> None:
    """Work collar, hood, their seams and the edging."""
    hood = parts[PartName.HOOD]
    if held is not None and held.part is PartName.HOOD:
        hook = flat.hood(Hook(hood, fresh(held.stitches)), hood.rows, held.row)
        hood_rows = held.row + len(hood.rows)
    else:
        part, done = parts[PartName.COLLAR], held.row if held else 0
        strip = flat.collar(part, held.stitches if held else None, done)
        if PartName.COLLAR_SEAM in parts:
            chains = (part.foundation_chain or 0) - 1
            _collar_seam(parts[PartName.COLLAR_SEAM], strip.live, chains)
        hook = _after_the_collar(parts, done + len(part.rows))
        hood_rows = len(hood.rows)
    _crown_seam(parts[PartName.CROWN_SEAM], hook.live)
    if PartName.EDGING in parts:
        _edging(parts[PartName.EDGING], hood_rows)


def _add_on(part: Part) -> None:
    if part.part is PartName.LEAF:
        flat.leaf(part)
    else:
        rounds(part)


def _run(pattern: Pattern, held: Held | None) -> tuple[Tally, ...]:
    _in_order(pattern.parts, held.part if held else PartName.COLLAR)
    one_colour_each(pattern)
    _body({part.part: part for part in pattern.parts}, held)
    for part in pattern.parts:
        if part.part in ADD_ONS:
            _add_on(part)
    return tally(pattern)


def worked(pattern: Pattern) -> tuple[Tally, ...]:
    """Work a whole pattern and return what that took, part by part.

    Raises:
        PatternFaultError: if a stitch is missing, left over, of the wrong kind, on the
            wrong side or not at the centre back; or a part is missing or out of order.
    """
    return _run(pattern, None)


def replay(pattern: Pattern) -> Replay:
    """Work a whole pattern.

    Returns:
        What was made, by kind.

    Raises:
        PatternFaultError: as `worked`.
    """
    return total(worked(pattern))


def resume(held: Held, rest: Pattern) -> Replay:
    """Work the rest of a pattern from what is on the hook.

    Args:
        held: the part on the hook, collar or hood.
        rest: the parts still to make; the first is the one on the hook, its rows those still
            to work, numbered on, its foundation chain the one it was begun with.

    Returns:
        What is made from there on, by kind, sewing of add-ons included; a foundation chain
        made already counts too.

    Raises:
        PatternFaultError: as `worked`.
    """
    if held.part not in {PartName.COLLAR, PartName.HOOD} or held.row < 1 or held.stitches < 1:
        raise PatternFaultError(held.part, held.row, "there is nothing to go on from")
    return total(_run(rest, held))
