"""Rows in words, in US or UK terms.

Never "2 sc": it can be read as two in one stitch or one in each of two. Every sentence
says how many stitches go where, and ends with the count.
"""

from enum import StrEnum
from typing import Final

from sizing.rows import Op, Operation, Part, PartName, Row


class Terms(StrEnum):
    """The language of crochet terms; the same word names different stitches in each."""

    US = "US"
    UK = "UK"


_NAMES: Final = {
    Terms.US: {
        Op.SC: "sc", Op.SC_BLO: "sc in the back loop", Op.DEC: "dec",
        Op.SL_ST: "sl st", Op.WHIP: "whip stitch",
    },
    Terms.UK: {
        Op.SC: "dc", Op.SC_BLO: "dc in the back loop", Op.DEC: "dec",
        Op.SL_ST: "sl st", Op.WHIP: "whip stitch",
    },
}  # fmt: skip


def _key(sc: str, single: str, over: str) -> tuple[tuple[str, str], ...]:
    """Return the key to the short words, with what differs between the two languages."""
    decrease = (
        "invisible decrease: hook through the front loops of the next 2 sts,"
        f" {over} and draw through both, {over} and draw through the 2 loops left"
    )
    return (
        ("ch", "chain"),
        (sc, f"{single} crochet"),
        ("back loop", "of the two loops on top of a stitch, the one farther from you"),
        ("dec", decrease),
        ("sl st", "slip stitch"),
        ("whip stitch", "sewn over and over, the needle always from the same side"),
        ("st, sts", "stitch, stitches"),
        ("RS, WS", "right side, wrong side"),
    )


KEY: Final = {
    Terms.US: _key("sc", "single", "yarn over"),
    Terms.UK: _key("dc", "double", "yarn round hook"),
}
GAUGE_WORD: Final = {Terms.US: "gauge", Terms.UK: "tension"}


def stitch_name(op: Op, terms: Terms) -> str:
    """Return the short name of a stitch."""
    return _NAMES[terms][op]


def counted(count: int) -> str:
    """Return `1 st` or `18 sts`."""
    return f"{count} st" if count == 1 else f"{count} sts"


def _over(operation: Operation, terms: Terms) -> str:
    """Return one operation of a row with several."""
    name = stitch_name(operation.op, terms)
    if operation.op is Op.DEC:
        times = "1 dec" if operation.count == 1 else f"{operation.count} dec"
        return f"{times} over the next {2 * operation.count} sts"
    where = "next st" if operation.count == 1 else f"each of next {operation.count} sts"
    return f"1 {name} in {where}"


def _collar(row: Row, terms: Terms) -> str:
    name = stitch_name(Op.SC, terms)
    if row.row == 1:
        return f"1 {name} in 2nd ch from hook, 1 {name} in each ch to end"
    return f"1 {name} in the back loop of each st to end"


def _hood(row: Row, terms: Terms) -> str:
    name = stitch_name(Op.SC, terms)
    if row.row == 1:
        return f"1 {name} in each row end of the collar"
    if len(row.operations) == 1:
        return f"1 {name} in each st to end"
    return ", ".join(_over(operation, terms) for operation in row.operations)


def _seam(part: PartName, row: Row) -> str:
    count = sum(operation.count for operation in row.operations)
    if part is PartName.COLLAR_SEAM:
        return f"{counted(count)} to join: 1 sl st through each st of the last row and its chain"
    return f"{count} whip stitch{'es' if count > 1 else ''}, each through 1 st of both halves"


def row_text(part: PartName, row: Row, terms: Terms) -> str:
    """Return one row as a sentence that ends with its stitch count."""
    if part in (PartName.COLLAR_SEAM, PartName.CROWN_SEAM):
        return f"{_seam(part, row)}."
    said = _collar(row, terms) if part is PartName.COLLAR else _hood(row, terms)
    return f"{said}. ({counted(row.stitches)})"


def part_title(part: PartName) -> str:
    """Return the heading of a part."""
    return {
        PartName.COLLAR: "Collar",
        PartName.COLLAR_SEAM: "Joining the collar",
        PartName.HOOD: "Hood",
        PartName.CROWN_SEAM: "Closing the top",
    }[part]


def part_opening(part: Part, terms: Terms) -> str:
    """Return what is done before the first row of a part."""
    turn = "turn after each row, no turning chain, begin in the first st."
    if part.part is PartName.COLLAR:
        return f"Chain {part.foundation_chain}. The strip is worked sideways: {turn}"
    if part.part is PartName.COLLAR_SEAM:
        return (
            "Fold the strip, wrong side out, with the last row against the foundation chain."
            " Join them. Fasten off and turn the tube right side out."
        )
    if part.part is PartName.HOOD:
        name = stitch_name(Op.SC, terms)
        return (
            "The seam of the collar lies under the chin. RS facing, join the yarn at the seam, on"
            f" the edge towards the head. Row 1 picks up 1 {name} in each row end, from seam to"
            f" seam; do not join. Then work flat: {turn}"
        )
    return (
        "Fasten off with a tail of three times the seam. Fold at the centre back, wrong side out,"
        " and sew from the front edge to the fold, twice through the first and last stitch."
        " Fasten off, weave in all ends, turn right side out."
    )
