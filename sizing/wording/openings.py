"""What is done before the first row of a part and after its last, and which way it runs."""

from typing import Final

from sizing.rows import ADD_ONS, Op, Part, PartName, Side
from sizing.style import Hand, Terms
from sizing.wording.names import stitch_name

_TITLES: Final = {
    PartName.COLLAR: "Collar",
    PartName.COLLAR_SEAM: "Joining the collar",
    PartName.HOOD: "Hood",
    PartName.CROWN_SEAM: "Closing the top",
    PartName.EDGING: "Edging round the face",
    PartName.DISC: "Disc to sew on",
    PartName.CONE: "Horn to sew on",
    PartName.TUBE: "Tube to sew on",
    PartName.LEAF: "Ear to sew on",
}


def part_title(part: PartName) -> str:
    """Return the heading of a part."""
    return _TITLES[part]


def reads_from(hand: Hand, side: Side) -> str:
    """Return at which side of a chart a row begins: `right` or `left`.

    A chart shows the right side. A left-hander's chart is the right-hander's in the mirror.
    """
    right = (hand is Hand.RIGHT) == (side is Side.RIGHT)
    return "right" if right else "left"


def hand_notes(hand: Hand) -> tuple[str, ...]:
    """Return what differs for a left-hander; nothing for a right-hander.

    The stitches, counts, loops and sides do not: front and back, right side and wrong side
    are those of the fabric, not of the hand.
    """
    if hand is Hand.RIGHT:
        return ()
    return (
        (
            "Left-handed: every row runs the other way. With the RS facing you work from left to"
            " right, and rounds go clockwise."
        ),
        (
            "Right side and wrong side, front loop and back loop mean the fabric, not a hand:"
            " nothing changes. Neither do stitches and counts."
        ),
        "Read a chart in the mirror: RS rows from left to right, WS rows from right to left.",
    )


def _turn(part: Part) -> str:
    if part.turning_chain:
        return "turn after each row and chain 1, which is no stitch; begin in the first st."
    return "turn after each row, no turning chain, begin in the first st."


def _collar(part: Part) -> str:
    said = f"Chain {part.foundation_chain}. The strip is worked sideways: {_turn(part)}"
    if not part.overlap:
        return said
    return (
        f"{said} It stays open: the last {part.overlap} rows lap over the first ones and carry the"
        " buttonholes. Fasten off after the last row."
    )


def _free(part: Part) -> int:
    """Return the row ends of the collar that the hood leaves free."""
    last = part.rows[0].operations[-1] if part.rows else None
    return last.count if last is not None and last.op is Op.SKIP else 0


def _hood(part: Part, terms: Terms, hand: Hand) -> str:
    name = stitch_name(Op.SC, terms)
    flat = f"do not join. Then work flat: {_turn(part)}"
    free = _free(part)
    if free:
        return (
            "The opening of the collar lies under the chin. RS facing, hold the strip with the"
            f" foundation chain at your {hand}: the upper edge is the one towards the head. Join"
            " the yarn at the row end of row 1. Row 1 picks up along this edge and leaves the"
            f" overlap, the last {free} row ends, free; {flat}"
        )
    picks = f"1 {name} in each row end" if _one_each(part) else "along the row ends"
    return (
        "The seam of the collar lies under the chin. RS facing, join the yarn at the seam, on"
        f" the edge towards the head. Row 1 picks up {picks}, from seam to seam; {flat}"
    )


def _one_each(part: Part) -> bool:
    return not part.rows or all(o.op is Op.SC for o in part.rows[0].operations)


def _shape(part: Part) -> str:
    many = f"Make {part.copies}. " if part.copies > 1 else ""
    if part.part is PartName.LEAF:
        return (
            f"{many}Chain {part.foundation_chain}, with a tail of three times the base. Worked"
            f" flat from the base to the tip: {_turn(part)}"
        )
    return (
        f"{many}Make a magic ring, or chain 2 and work round 1 into the 2nd chain from the hook."
        " Worked in a spiral, RS facing: do not join, do not turn; mark the first st of each"
        " round and move the marker up."
    )


def _change(part: Part) -> str:
    if len({row.colour for row in part.rows}) <= 1:
        return ""
    return (
        " Change colour with the last yarn over of the row before, and cut the old colour: carried"
        " up an edge it would catch a claw."
    )


def part_opening(part: Part, terms: Terms, hand: Hand = Hand.RIGHT) -> str:
    """Return what is done before the first row of a part."""
    return _opening(part, terms, hand) + _change(part)


def _opening(part: Part, terms: Terms, hand: Hand) -> str:
    if part.part in ADD_ONS:
        return _shape(part)
    if part.part is PartName.COLLAR:
        return _collar(part)
    if part.part is PartName.HOOD:
        return _hood(part, terms, hand)
    if part.part is PartName.EDGING:
        return (
            "RS facing, join the yarn at the chin, at the lower end of the front edge that you"
            " meet first. Work up this edge, over the seam at the brow and down the other edge,"
            " without pulling it in. Fasten off."
        )
    before, after = seam_words(part)
    return f"{before} {after}"


def seam_words(part: Part) -> tuple[str, str]:
    """Return what is done before the stitches of a seam, and what after them."""
    if part.part is PartName.COLLAR_SEAM:
        return (
            (
                "Fold the strip, wrong side out, with the last row against the foundation chain,"
                " and join them."
            ),
            "Fasten off and turn the tube right side out.",
        )
    return (
        (
            "Fasten off with a tail of three times the seam. Fold at the centre back, wrong side"
            " out, and sew from the front edge to the fold, twice through the first and last"
            " stitch."
        ),
        "Fasten off, turn right side out.",
    )


_SEWN: Final = "Sew it on all round with doubled yarn, through every stitch; weave in all ends."


def _buttons(part: Part) -> str:
    """Return how the buttons are sewn on, one for each buttonhole."""
    holes = max(sum(o.op is Op.CH for o in row.operations) for row in part.rows)
    many = f"{holes} buttons" if holes > 1 else "1 button"
    return (
        f"Sew {many} on the first rows, RS, under the buttonholes of the closed collar,"
        " each with a thread of its own, and pull hard at it."
    )


def part_closing(part: Part) -> str:
    """Return what is done after the last row of a part; nothing for most."""
    if part.part is PartName.COLLAR and part.overlap:
        return _buttons(part)
    if part.part is PartName.LEAF:
        return (
            "Fasten off, draw the yarn through the last sts and weave it in. Fold the base in"
            " half if the ear shall cup. Sew the base on with doubled yarn, through every st."
        )
    if part.part is PartName.DISC:
        return f"Sl st in next st, fasten off with a tail of three times the edge. {_SEWN}"
    if part.part in ADD_ONS:
        return (
            "Sl st in next st, fasten off with a tail of three times the edge. Draw the ring"
            f" shut. Stuff it lightly with washable filling, no beads, no bells. {_SEWN}"
        )
    return ""
