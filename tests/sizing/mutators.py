"""Ways to spoil any pattern, each a fault that no maker could work around.

A mutator takes a pattern and a number that says where, and returns the spoiled pattern, or
None where the pattern has no such place (a hood without decreases, for one) or where the
spoiled pattern would be another sound one (a hood a plain row shorter). What only a variant can
get wrong is in `variant_mutators`.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

from sizing.rows import ADD_ONS, Op, Operation, Part, PartName, Pattern, Row, Side

Mutator = Callable[[Pattern, int], Pattern | None]
EXTRA = ADD_ONS | {PartName.EDGING}
"""Parts that a sound pattern may have or not."""


def with_part(pattern: Pattern, changed: Part) -> Pattern:
    return Pattern(tuple(changed if p.part is changed.part else p for p in pattern.parts))


def with_row(pattern: Pattern, part: Part, place: int, row: Row) -> Pattern:
    rows = (*part.rows[:place], row, *part.rows[place + 1 :])
    return with_part(pattern, replace(part, rows=rows))


def renumbered(rows: Sequence[Row]) -> tuple[Row, ...]:
    """The rows as if they had always been so many: numbers and sides run on."""
    return tuple(
        replace(row, row=number, side=Side.RIGHT if number % 2 else Side.WRONG)
        for number, row in enumerate(rows, start=1)
    )


def _somewhere(pattern: Pattern, where: int) -> tuple[Part, int]:
    """One part and the place of one of its rows."""
    places = [(part, i) for part in pattern.parts for i in range(len(part.rows))]
    return places[where % len(places)]


def _change_operation(
    pattern: Pattern, where: int, change: Callable[[Operation], Operation]
) -> Pattern:
    part, place = _somewhere(pattern, where)
    row = part.rows[place]
    at = where % len(row.operations)
    operations = list(row.operations)
    operations[at] = change(operations[at])
    return with_row(pattern, part, place, replace(row, operations=tuple(operations)))


def one_stitch_more(pattern: Pattern, where: int) -> Pattern:
    return _change_operation(pattern, where, lambda o: replace(o, count=o.count + 1))


def one_stitch_less(pattern: Pattern, where: int) -> Pattern:
    return _change_operation(pattern, where, lambda o: replace(o, count=o.count - 1))


def another_stitch(pattern: Pattern, where: int) -> Pattern | None:
    ops = list(Op)
    part, place = _somewhere(pattern, where)
    if part.part is PartName.EDGING and len(part.rows[place].operations) == 1:
        ops = [op for op in ops if op not in {Op.SC, Op.SL_ST}]  # either makes an edging

    def change(operation: Operation) -> Operation:
        others = [op for op in ops if op is not operation.op]
        return replace(operation, op=others[where % len(others)])

    return _change_operation(pattern, where, change)


def wrong_count(pattern: Pattern, where: int) -> Pattern:
    part, place = _somewhere(pattern, where)
    row = part.rows[place]
    off = 1 if where % 2 or row.stitches == 0 else -1
    return with_row(pattern, part, place, replace(row, stitches=row.stitches + off))


def other_side(pattern: Pattern, where: int) -> Pattern:
    part, place = _somewhere(pattern, where)
    row = part.rows[place]
    side = Side.WRONG if row.side is Side.RIGHT else Side.RIGHT
    return with_row(pattern, part, place, replace(row, side=side))


def wrong_number(pattern: Pattern, where: int) -> Pattern:
    part, place = _somewhere(pattern, where)
    row = part.rows[place]
    return with_row(pattern, part, place, replace(row, row=row.row + 1))


def empty_row(pattern: Pattern, where: int) -> Pattern:
    part, place = _somewhere(pattern, where)
    return with_row(pattern, part, place, replace(part.rows[place], operations=()))


def missing_row(pattern: Pattern, where: int) -> Pattern | None:
    part, place = _somewhere(pattern, where)
    plain = len(part.rows[place].operations) == 1
    last = place == len(part.rows) - 1 > 0
    if last and (part.part in ADD_ONS or (part.part is PartName.HOOD and plain)):
        return None  # what ends a row earlier can be worked: it is another hood or shape
    return with_part(pattern, replace(part, rows=(*part.rows[:place], *part.rows[place + 1 :])))


def doubled_row(pattern: Pattern, where: int) -> Pattern:
    part, place = _somewhere(pattern, where)
    rows = (*part.rows[: place + 1], *part.rows[place:])
    return with_part(pattern, replace(part, rows=rows))


def odd_collar(pattern: Pattern, where: int) -> Pattern:
    """One collar row less, all else made to fit: only the oddness is left as a fault."""
    del where
    collar = pattern.part(PartName.COLLAR)
    hood = pattern.part(PartName.HOOD)
    stitches = len(collar.rows) - 1
    plain = Row(1, Side.RIGHT, (Operation(Op.SC, stitches),), stitches)
    spoiled = with_part(pattern, replace(collar, rows=collar.rows[:-1]))
    spoiled = with_part(spoiled, replace(hood, rows=(plain,)))
    seam = pattern.part(PartName.CROWN_SEAM)
    closing = replace(seam.rows[0], operations=(Operation(Op.WHIP, stitches // 2),))
    return with_part(spoiled, replace(seam, rows=(closing,)))


def two_collar_rows_less(pattern: Pattern, where: int) -> Pattern:
    """The collar alone stays right; the hood then has two stitches with no row end."""
    del where
    collar = pattern.part(PartName.COLLAR)
    return with_part(pattern, replace(collar, rows=collar.rows[:-2]))


def wrong_chain(pattern: Pattern, where: int) -> Pattern:
    collar = pattern.part(PartName.COLLAR)
    assert collar.foundation_chain is not None
    chain = collar.foundation_chain + (1 if where % 2 else -1)
    return with_part(pattern, replace(collar, foundation_chain=chain))


def no_chain(pattern: Pattern, where: int) -> Pattern:
    del where
    return with_part(pattern, replace(pattern.part(PartName.COLLAR), foundation_chain=None))


def chain_elsewhere(pattern: Pattern, where: int) -> Pattern:
    others = [p for p in pattern.parts if p.part not in {PartName.COLLAR, PartName.LEAF}]
    part = others[where % len(others)]
    return with_part(pattern, replace(part, foundation_chain=11))


def part_missing(pattern: Pattern, where: int) -> Pattern | None:
    at = where % len(pattern.parts)
    if pattern.parts[at].part in EXTRA:
        return None
    return Pattern((*pattern.parts[:at], *pattern.parts[at + 1 :]))


def part_twice(pattern: Pattern, where: int) -> Pattern | None:
    at = where % len(pattern.parts)
    if pattern.parts[at].part in ADD_ONS:
        return None
    return Pattern((*pattern.parts[: at + 1], *pattern.parts[at:]))


def parts_out_of_order(pattern: Pattern, where: int) -> Pattern | None:
    at = where % (len(pattern.parts) - 1)
    parts = list(pattern.parts)
    if parts[at].part in ADD_ONS:
        return None
    parts[at], parts[at + 1] = parts[at + 1], parts[at]
    return Pattern(tuple(parts))


def part_without_rows(pattern: Pattern, where: int) -> Pattern:
    return with_part(pattern, replace(pattern.parts[where % len(pattern.parts)], rows=()))


def _shaped_row(pattern: Pattern, where: int) -> tuple[Part, int] | None:
    hood = pattern.part(PartName.HOOD)
    places = [
        i
        for i, row in enumerate(hood.rows)
        if [o.op for o in row.operations] == [Op.SC, Op.DEC, Op.SC]
    ]
    return (hood, places[where % len(places)]) if places else None


def _reordered(
    pattern: Pattern, where: int, order: Callable[[int, int, int], Sequence[Operation]]
) -> Pattern | None:
    """A decreasing row with the same stitches in another order."""
    found = _shaped_row(pattern, where)
    if found is None:
        return None
    hood, place = found
    row = hood.rows[place]
    before, decreases, after = (operation.count for operation in row.operations)
    operations = tuple(o for o in order(before, decreases, after) if o.count)
    return with_row(pattern, hood, place, replace(row, operations=operations))


def decreases_off_centre(pattern: Pattern, where: int) -> Pattern | None:
    return _reordered(
        pattern,
        where,
        lambda a, n, b: (Operation(Op.SC, a - 1), Operation(Op.DEC, n), Operation(Op.SC, b + 1)),
    )


def decreases_at_the_front_edges(pattern: Pattern, where: int) -> Pattern | None:
    """Alike on both sides, and wrong all the same: the face would narrow, not the back."""
    return _reordered(
        pattern,
        where,
        lambda a, n, b: (
            Operation(Op.DEC, n // 2), Operation(Op.SC, a + b), Operation(Op.DEC, n // 2),
        ),
    )  # fmt: skip


def decreases_apart(pattern: Pattern, where: int) -> Pattern | None:
    return _reordered(
        pattern,
        where,
        lambda a, n, b: (
            Operation(Op.SC, a - 1), Operation(Op.DEC, n // 2), Operation(Op.SC, 2),
            Operation(Op.DEC, n // 2), Operation(Op.SC, b - 1),
        ),
    )  # fmt: skip


def decreases_on_a_wrong_side_row(pattern: Pattern, where: int) -> Pattern | None:
    """A decreasing row and the plain row after it change places, counts made to fit."""
    found = _shaped_row(pattern, where)
    if found is None or found[1] + 1 >= len(found[0].rows):
        return None
    hood, place = found
    shaped, plain = hood.rows[place], hood.rows[place + 1]
    before = hood.rows[place - 1].stitches
    first = replace(shaped, operations=(Operation(Op.SC, before),), stitches=before)
    second = replace(plain, operations=shaped.operations, stitches=shaped.stitches)
    rows = (*hood.rows[:place], first, second, *hood.rows[place + 2 :])
    return with_part(pattern, replace(hood, rows=rows))


def decreases_in_the_first_row(pattern: Pattern, where: int) -> Pattern | None:
    """The first decreasing row moves down to where the stitches are picked up."""
    del where
    found = _shaped_row(pattern, 0)
    if found is None:
        return None
    hood, place = found
    rows = (hood.rows[place], *hood.rows[place + 1 :])
    return with_part(pattern, replace(hood, rows=renumbered(rows)))


MUTATORS: tuple[Mutator, ...] = (
    one_stitch_more, one_stitch_less, another_stitch, wrong_count, other_side, wrong_number,
    empty_row, missing_row, doubled_row, odd_collar, two_collar_rows_less, wrong_chain, no_chain,
    chain_elsewhere, part_missing, part_twice, parts_out_of_order, part_without_rows,
    decreases_off_centre, decreases_at_the_front_edges, decreases_apart,
    decreases_on_a_wrong_side_row, decreases_in_the_first_row,
)  # fmt: skip
