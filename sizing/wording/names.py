"""Short names of stitches and small counted words."""

from typing import Final

from sizing.rows import Op, Part
from sizing.style import Terms

_NAMES: Final = {
    Terms.US: {
        Op.SC: "sc", Op.SC_BLO: "sc in the back loop", Op.SC_CH: "sc", Op.DEC: "dec",
        Op.SC2TOG: "sc2tog", Op.INC: "inc", Op.CH: "ch", Op.SKIP: "skip", Op.SL_ST: "sl st",
        Op.WHIP: "whip stitch",
    },
    Terms.UK: {
        Op.SC: "dc", Op.SC_BLO: "dc in the back loop", Op.SC_CH: "dc", Op.DEC: "dec",
        Op.SC2TOG: "dc2tog", Op.INC: "inc", Op.CH: "ch", Op.SKIP: "miss", Op.SL_ST: "sl st",
        Op.WHIP: "whip stitch",
    },
}  # fmt: skip
GAUGE_WORD: Final = {Terms.US: "gauge", Terms.UK: "tension"}


def stitch_name(op: Op, terms: Terms) -> str:
    """Return the short name of a stitch."""
    return _NAMES[terms][op]


def counted(count: int) -> str:
    """Return `1 st` or `18 sts`."""
    return f"{count} st" if count == 1 else f"{count} sts"


def round_word(part: Part) -> str:
    """Return what a line of this part is called: a row, or a round."""
    return "round" if part.rounds else "row"
