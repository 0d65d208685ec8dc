"""One row as one sentence. Each phrase of it says how many stitches go where."""

from collections.abc import Iterator
from typing import Final

from sizing.rows import ADD_ONS, DECREASES, SEAMS, Op, Operation, PartName, Row
from sizing.style import Terms
from sizing.wording.names import counted, stitch_name

LEAST_TIMES: Final = 2
"""Repeats beyond which brackets are easier to read than the stitches one by one."""
ROUNDS: Final = ADD_ONS - {PartName.LEAF}
EDGES: Final = {
    PartName.HOOD: "each row end of the collar",
    PartName.EDGING: "each row end of both front edges",
}


def _place(part: PartName, row: Row) -> str:
    """Return what a stitch of this row is worked into."""
    picked = part is PartName.EDGING or (part is PartName.HOOD and row.row == 1)
    return "row end" if picked else "st"


def _where(count: int, place: str) -> str:
    if count == 1:
        return f"next {place}"
    return f"each of next {count} {place}s"


def _left_out(operation: Operation, place: str, terms: Terms) -> str:
    count = operation.count
    many = f"{count} {place}s" if count > 1 else place
    return f"{stitch_name(Op.SKIP, terms)} next {many}"


def _phrase(operation: Operation, place: str, terms: Terms) -> str:
    """Return one operation of a row with several."""
    op, count = operation.op, operation.count
    name = stitch_name(op, terms)
    if op is Op.CH:
        return f"ch {count}"
    if op is Op.SKIP:
        return _left_out(operation, place, terms)
    if op in DECREASES:
        return f"{count} {name} over the next {2 * count} sts"
    if op is Op.SC_CH:
        return f"1 {name} in " + ("next ch" if count == 1 else f"each of next {count} ch")
    if op is Op.SC_BLO:
        return f"1 {name} of {_where(count, place)}"
    return f"1 {name} in {_where(count, place)}"


def _free(count: int) -> str:
    many = f"{count} row ends" if count > 1 else "row end"
    return f"leave the last {many} free"


def _repeated(phrases: list[str]) -> Iterator[str]:
    """Yield phrases with what comes three times and more in brackets, and how often."""
    at = 0
    while at < len(phrases):
        size, times = 1, 1
        for length in range(2, (len(phrases) - at) // 2 + 1):
            block, count = phrases[at : at + length], 1
            while phrases[at + count * length : at + (count + 1) * length] == block:
                count += 1
            if count > LEAST_TIMES and count * length > size * times:
                size, times = length, count
        said = ", ".join(phrases[at : at + size])
        yield f"[{said}] {times} times" if times > 1 else said
        at += size * times


def _several(part: PartName, row: Row, terms: Terms) -> str:
    place = _place(part, row)
    operations = list(row.operations)
    last = operations[-1]
    free = last.count if place == "row end" and last.op is Op.SKIP else 0
    if free:
        operations.pop()
    phrases = [_phrase(operation, place, terms) for operation in operations]
    return ", ".join([*_repeated(phrases), *([_free(free)] if free else ())])


def _to_end(part: PartName, row: Row, terms: Terms) -> str:
    """Return a row that does the same in every place."""
    operation = row.operations[0]
    name = stitch_name(operation.op, terms)
    if part is PartName.EDGING or (part is PartName.HOOD and row.row == 1):
        return f"1 {name} in {EDGES[part]}"
    if part in ROUNDS and row.row == 1:
        return f"{operation.count} {name} into the ring"
    if row.row == 1:
        return f"1 {name} in 2nd ch from hook, 1 {name} in each ch to end"
    if operation.op is Op.SC_BLO:
        return f"1 {name} of each st to end"
    return f"1 {name} in each st " + ("around" if part in ROUNDS else "to end")


_EVERYWHERE: Final = frozenset({Op.SC, Op.SC_BLO, Op.INC, Op.SL_ST})


def _seam(part: PartName, row: Row) -> str:
    count = sum(operation.count for operation in row.operations)
    if part is PartName.COLLAR_SEAM:
        return f"{counted(count)} to join: 1 sl st through each st of the last row and its chain"
    return f"{count} whip stitch{'es' if count > 1 else ''}, each through 1 st of both halves"


def row_text(part: PartName, row: Row, terms: Terms) -> str:
    """Return one row as a sentence that ends with its stitch count."""
    colour = f"In {row.colour}: " if row.colour else ""
    if part in SEAMS:
        return f"{colour}{_seam(part, row)}."
    alike = len(row.operations) == 1 and row.operations[0].op in _EVERYWHERE
    said = _to_end(part, row, terms) if alike else _several(part, row, terms)
    return f"{colour}{said}. ({counted(row.stitches)})"
