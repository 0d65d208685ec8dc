"""Flat work: the collar strip, the hood and a leaf; turned after each row."""

from typing import Final

from sizing.machine.hook import Hook, expect, facing, fault, fresh, gather
from sizing.rows import DECREASES, Op, Part, Row, Side

SLOT: Final = frozenset({Op.CH, Op.SKIP, Op.SC_CH})
FIRST: Final = frozenset({Op.SC})
RIB: Final = frozenset({Op.SC_BLO})
LAP: Final = RIB | SLOT
HOOD_OPS: Final = {
    # The invisible decrease leaves bars on its far side, so it is for right side rows.
    Side.RIGHT: frozenset({Op.SC, Op.DEC}) | SLOT,
    Side.WRONG: frozenset({Op.SC, Op.SC2TOG}) | SLOT,
}
LEAF_OPS: Final = {
    Side.RIGHT: frozenset({Op.SC, Op.DEC, Op.INC}),
    Side.WRONG: frozenset({Op.SC, Op.SC2TOG, Op.INC}),
}
PICKED_UP: Final = frozenset({Op.SC, Op.INC, Op.SKIP})
_CH: Final = Op.CH


def begun(part: Part) -> Hook:
    """Return the hook at the foundation chain.

    The chain nearest the hook is the turn: the first stitch goes into the second chain.
    """
    workable = (part.foundation_chain or 0) - 1
    if workable < 1:
        raise fault(part, 0, "it has no foundation chain")
    return Hook(part, fresh(workable))


def _not_at_the_edge(hook: Hook, row: Row) -> None:
    if hook.loops[0].chain or hook.loops[-1].chain:
        raise fault(hook.part, row.row, "an opening at the edge is no opening")


def _closed(hook: Hook, number: int) -> None:
    if hook.open:
        raise fault(hook.part, number, "an opening is not closed by a row after it")


def collar(part: Part, held: int | None = None, done: int = 0) -> Hook:
    """Work the collar strip, or what is left of it after `done` rows of `held` stitches."""
    hook = begun(part)
    if held is not None and held != hook.live:
        raise fault(part, done, f"{held} stitches stand on {hook.live} chains")
    total = done + len(part.rows)
    girth = total - part.overlap
    holes = 0
    for number, row in enumerate(part.rows, start=done + 1):
        allowed = FIRST if number == 1 else RIB if number <= girth else LAP
        expect(part, row, number=number, side=facing(number), allowed=allowed)
        hook.turn()
        hook.work(row)
        if hook.open:
            holes += 1
            _not_at_the_edge(hook, row)
    _closed(hook, total)
    if girth < 1 or girth % 2:
        raise fault(part, total, "the collar needs an even number of rows")
    # Of an overlap begun before, nobody knows whether its buttonholes are made.
    known = held is None or done <= girth
    if part.overlap < 0 or (known and (part.overlap > 0) != (holes > 0)):
        raise fault(part, total, "an overlap and its buttonholes need each other")
    return hook


def _kinds(row: Row) -> list[tuple[Op, int]]:
    """Return the stitches of a row in runs of one kind; what is skipped stands for its chains."""
    runs: list[tuple[Op, int]] = []
    for operation in row.operations:
        op, count = operation.op, operation.count
        if op is _CH:
            continue
        if runs and runs[-1][0] is op:
            count += runs.pop()[1]
        runs.append((op, count))
    return runs


def _centred(hook: Hook, row: Row) -> None:
    """Refuse decreases that are not side by side at the centre back, and uneven openings."""
    if not hook.open:
        for operation in row.operations:
            if operation.op in DECREASES:
                break
        else:
            return
    kinds = _kinds(row)
    shaped = [place for place, (op, _) in enumerate(kinds) if op in DECREASES]
    if len(shaped) > 1 or hook.loops != hook.loops[::-1] or kinds != kinds[::-1]:
        what = "openings are not alike on both sides of" if hook.open else "decreases are not at"
        raise fault(hook.part, row.row, f"the {what} the centre back")
    if shaped == [0]:
        raise fault(hook.part, row.row, "a decrease at the front edge")


def picked_up(part: Part, row_ends: int, free: int) -> Hook:
    """Work the hood's first row into the row ends of the collar."""
    if not part.rows:
        raise fault(part, 0, "the hood has no rows")
    row = part.rows[0]
    expect(part, row, number=1, side=Side.RIGHT, allowed=PICKED_UP)
    return Hook(part, fresh(gather(part, row, row_ends, free=free)))


def hood(hook: Hook, rows: tuple[Row, ...], done: int) -> Hook:
    """Work the hood's rows after the first `done` and return the hook with its last loops."""
    for number, row in enumerate(rows, start=done + 1):
        side = facing(number)
        expect(hook.part, row, number=number, side=side, allowed=HOOD_OPS[side])
        hook.turn()
        hook.work(row)
        _centred(hook, row)
        if hook.open:
            _not_at_the_edge(hook, row)
    _closed(hook, done + len(rows))
    return hook


def leaf(part: Part) -> Hook:
    """Work a leaf from its foundation chain; it is shaped at both edges alike."""
    hook = begun(part)
    if not part.rows:
        raise fault(part, 0, "it has no rows")
    for number, row in enumerate(part.rows, start=1):
        side = facing(number)
        allowed = {Op.SC} if number == 1 else LEAF_OPS[side]
        expect(part, row, number=number, side=side, allowed=allowed)
        hook.turn()
        hook.work(row)
        steps = [o.op for o in row.operations for _ in range(o.count)]
        if steps != steps[::-1]:
            raise fault(part, number, "its two edges are not shaped alike")
        if any(op is not Op.SC for op in steps[1:-1]):
            raise fault(part, number, "it is shaped away from its edges")
    return hook
