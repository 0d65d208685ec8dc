"""Ways to spoil what only a variant has: an opening, an overlap, an edging, colours, rounds."""

from collections.abc import Callable
from dataclasses import replace

from sizing.rows import ADD_ONS, SEAMS, Op, Operation, Part, PartName, Pattern, Row
from tests.sizing.mutators import Mutator, with_part, with_row


def _rows(pattern: Pattern, wanted: Callable[[Part, Row], bool]) -> list[tuple[Part, int]]:
    return [
        (part, place)
        for part in pattern.parts
        for place, row in enumerate(part.rows)
        if wanted(part, row)
    ]


def _has(op: Op) -> Callable[[Part, Row], bool]:
    return lambda _, row: any(operation.op is op for operation in row.operations)


def _changed(
    pattern: Pattern,
    where: int,
    wanted: Callable[[Part, Row], bool],
    change: Callable[[Row], Row | None],
) -> Pattern | None:
    """Change one of the rows that are wanted."""
    found = _rows(pattern, wanted)
    if not found:
        return None
    part, place = found[where % len(found)]
    row = change(part.rows[place])
    return None if row is None else with_row(pattern, part, place, row)


def _instead(row: Row, op: Op, other: Op, where: int, more: int = 0) -> Row:
    """The row with one run of a stitch replaced by another stitch, or more of it."""
    places = [i for i, operation in enumerate(row.operations) if operation.op is op]
    at = places[where % len(places)]
    operations = list(row.operations)
    operations[at] = Operation(other, operations[at].count + more)
    return replace(row, operations=tuple(operations))


def hole_not_filled(pattern: Pattern, where: int) -> Pattern | None:
    """The row after an opening goes on as if its chains were stitches."""
    plain = Op.SC_BLO if where % 2 else Op.SC
    return _changed(
        pattern, where, _has(Op.SC_CH), lambda row: _instead(row, Op.SC_CH, plain, where)
    )


def hole_left_open(pattern: Pattern, where: int) -> Pattern | None:
    """The chains are skipped under as many new ones: a hole two rows high."""

    def change(row: Row) -> Row:
        at = next(i for i, operation in enumerate(row.operations) if operation.op is Op.SC_CH)
        many = row.operations[at].count
        again = (Operation(Op.CH, many), Operation(Op.SKIP, many))
        return replace(row, operations=(*row.operations[:at], *again, *row.operations[at + 1 :]))

    return _changed(pattern, where, _has(Op.SC_CH), change)


def chain_too_many(pattern: Pattern, where: int) -> Pattern | None:
    return _changed(pattern, where, _has(Op.CH), lambda row: _instead(row, Op.CH, Op.CH, where, 1))


def skipped_without_a_chain(pattern: Pattern, where: int) -> Pattern | None:
    """The chains of an opening are forgotten."""

    def change(row: Row) -> Row:
        return replace(row, operations=tuple(o for o in row.operations if o.op is not Op.CH))

    return _changed(pattern, where, _has(Op.CH), change)


def opening_at_the_edge(pattern: Pattern, where: int) -> Pattern | None:
    """The stitches before the first opening are worked after the last instead."""

    def change(row: Row) -> Row:
        return replace(row, operations=(*row.operations[1:], row.operations[0]))

    return _changed(pattern, where, _has(Op.CH), change)


def ear_openings_not_alike(pattern: Pattern, where: int) -> Pattern | None:
    """One opening sits a stitch nearer to the centre back than the other."""

    def wanted(part: Part, row: Row) -> bool:
        return part.part is PartName.HOOD and _has(Op.CH)(part, row)

    def change(row: Row) -> Row:
        front, *rest = row.operations
        middle = next(i for i, operation in enumerate(rest) if operation.op is Op.SC)
        rest[middle] = replace(rest[middle], count=rest[middle].count - 1)
        moved = (replace(front, count=front.count + 1), *rest)
        return replace(row, operations=tuple(o for o in moved if o.count))

    return _changed(pattern, where, wanted, change)


def overlap_off(pattern: Pattern, where: int) -> Pattern | None:
    collar = pattern.part(PartName.COLLAR)
    if not collar.overlap:
        return None
    off = (-2, -1, 1, 2)[where % 4]
    return with_part(pattern, replace(collar, overlap=collar.overlap + off))


def overlap_forgotten(pattern: Pattern, where: int) -> Pattern | None:
    del where
    collar = pattern.part(PartName.COLLAR)
    return with_part(pattern, replace(collar, overlap=0)) if collar.overlap else None


def overlap_picked_up(pattern: Pattern, where: int) -> Pattern | None:
    """The hood takes a row end that must stay free."""
    del where
    hood = pattern.part(PartName.HOOD)
    first = hood.rows[0]
    if not pattern.part(PartName.COLLAR).overlap:
        return None
    free = first.operations[-1].count
    operations = (*first.operations[:-1], Operation(Op.SC, 1), Operation(Op.SKIP, free - 1))
    row = replace(first, operations=operations, stitches=first.stitches + 1)
    return with_row(pattern, hood, 0, row)


def no_buttonhole(pattern: Pattern, where: int) -> Pattern | None:
    """An overlap of plain rows: it could not be closed."""
    del where
    collar = pattern.part(PartName.COLLAR)
    if not collar.overlap:
        return None
    plain = collar.rows[1].operations
    rows = (collar.rows[0], *(replace(row, operations=plain) for row in collar.rows[1:]))
    return with_part(pattern, replace(collar, rows=rows))


def _picked_up(part: Part, row: Row) -> bool:
    return part.part is PartName.EDGING or (part.part is PartName.HOOD and row.row == 1)


def halves_not_alike(pattern: Pattern, where: int) -> Pattern | None:
    """An uneven row end moves by one on one side only."""

    def change(row: Row) -> Row | None:
        operations = list(row.operations)
        if len(operations) < 4:
            return None
        if operations[-1].op is Op.SKIP:
            operations = operations[:-1]
        first, uneven, after = operations[:3]
        if first.op is uneven.op or after.count < 2 or after.op is uneven.op:
            return None
        moved = (
            replace(first, count=first.count + 1), uneven, replace(after, count=after.count - 1),
        )  # fmt: skip
        return replace(row, operations=(*moved, *row.operations[3:]))

    return _changed(pattern, where, _picked_up, change)


def two_row_ends_skipped(pattern: Pattern, where: int) -> Pattern | None:
    """Two neighbours left out on each side: the count is right, and there is a hole."""

    def change(row: Row) -> Row | None:
        ends = [o.op for o in row.operations for _ in range(o.count)]
        if row.operations[-1].op is Op.SKIP or len(ends) < 10:
            return None
        for at in (2, 3, -3, -4):
            ends[at] = Op.SKIP
        operations = tuple(Operation(op, 1) for op in ends)
        made = sum(2 if op is Op.INC else op is not Op.SKIP for op in ends)
        return replace(row, operations=operations, stitches=made)

    return _changed(pattern, where, lambda part, _: part.part is PartName.EDGING, change)


def edging_off(pattern: Pattern, where: int) -> Pattern | None:
    """One row end too many or too few, and the count made to fit."""

    def change(row: Row) -> Row:
        more = 1 if where % 2 else -1
        last = row.operations[-1]
        operations = (*row.operations[:-1], replace(last, count=last.count + more))
        each = 2 if last.op is Op.INC else 1
        kept = tuple(o for o in operations if o.count)
        return replace(row, operations=kept, stitches=row.stitches + more * each)

    return _changed(pattern, where, lambda part, _: part.part is PartName.EDGING, change)


def colour_missing(pattern: Pattern, where: int) -> Pattern | None:
    return _changed(
        pattern, where, lambda _, row: bool(row.colour), lambda row: replace(row, colour="")
    )


def seam_in_another_colour(pattern: Pattern, where: int) -> Pattern | None:
    def wanted(part: Part, row: Row) -> bool:
        return part.part in SEAMS and bool(row.colour)

    return _changed(pattern, where, wanted, lambda row: replace(row, colour=f"{row.colour} x"))


def round_count_off(pattern: Pattern, where: int) -> Pattern | None:
    """A round of a disc gains one stitch more than the others, and says so."""

    def wanted(part: Part, row: Row) -> bool:
        last = part.rows[-1] is row
        return part.part is PartName.DISC and last and any(o.op is Op.SC for o in row.operations)

    def change(row: Row) -> Row:
        steps = [o.op for o in row.operations for _ in range(o.count)]
        steps[steps.index(Op.SC)] = Op.INC
        operations = tuple(Operation(op, 1) for op in steps)
        return replace(row, operations=operations, stitches=row.stitches + 1)

    return _changed(pattern, where, wanted, change)


def increases_in_one_place(pattern: Pattern, where: int) -> Pattern | None:
    """The right number of increases, all side by side: the piece would lean."""

    def wanted(part: Part, row: Row) -> bool:
        steps = [o.op for o in row.operations for _ in range(o.count)]
        gained, plain = steps.count(Op.INC), steps.count(Op.SC)
        return part.rounds and gained > 1 and plain > gained

    def change(row: Row) -> Row:
        steps = sorted(
            (o.op for o in row.operations for _ in range(o.count)), key=lambda op: op is Op.SC
        )
        return replace(row, operations=tuple(Operation(op, 1) for op in steps))

    return _changed(pattern, where, wanted, change)


def leaf_edges_not_alike(pattern: Pattern, where: int) -> Pattern | None:
    def wanted(part: Part, row: Row) -> bool:
        return part.part is PartName.LEAF and len(row.operations) == 3

    def change(row: Row) -> Row:
        first, middle, last = row.operations
        return replace(row, operations=(replace(first, count=first.count + last.count), middle))

    return _changed(pattern, where, wanted, change)


def other_way_of_turning(pattern: Pattern, where: int) -> Pattern:
    name = PartName.HOOD if where % 2 else PartName.COLLAR
    part = pattern.part(name)
    return with_part(pattern, replace(part, turning_chain=1 - part.turning_chain))


def two_chains_at_each_turn(pattern: Pattern, where: int) -> Pattern:
    del where
    parts = (replace(p, turning_chain=2) if not p.rounds else p for p in pattern.parts)
    return Pattern(tuple(parts))


def turned_seam(pattern: Pattern, where: int) -> Pattern:
    del where
    seam = pattern.part(PartName.CROWN_SEAM)
    return with_part(pattern, replace(seam, turning_chain=1))


def impossible_copies(pattern: Pattern, where: int) -> Pattern:
    part = pattern.parts[where % len(pattern.parts)]
    many = 0 if part.part in ADD_ONS else 2
    return with_part(pattern, replace(part, copies=many))


def rounds_and_rows_mixed_up(pattern: Pattern, where: int) -> Pattern:
    part = pattern.parts[where % len(pattern.parts)]
    return with_part(pattern, replace(part, rounds=not part.rounds))


def overlap_elsewhere(pattern: Pattern, where: int) -> Pattern:
    others = [part for part in pattern.parts if part.part is not PartName.COLLAR]
    return with_part(pattern, replace(others[where % len(others)], overlap=4))


VARIANT_MUTATORS: tuple[Mutator, ...] = (
    hole_not_filled, hole_left_open, chain_too_many, skipped_without_a_chain,
    opening_at_the_edge, ear_openings_not_alike, overlap_off, overlap_forgotten,
    overlap_picked_up, no_buttonhole, halves_not_alike, two_row_ends_skipped, edging_off,
    colour_missing, seam_in_another_colour, round_count_off, increases_in_one_place,
    leaf_edges_not_alike, other_way_of_turning, two_chains_at_each_turn, turned_seam,
    impossible_copies, rounds_and_rows_mixed_up, overlap_elsewhere,
)  # fmt: skip
