"""The stitch machine and the words of the pattern, against how the craft is described."""

from functools import cache

from sizing.machine import Replay, replay
from sizing.machine.hook import Hook, fresh
from sizing.pattern import collar, hood, pattern_of
from sizing.rows import Op, Operation, Part, PartName, Row, Side
from sizing.style import Terms, Turning
from sizing.wording import GAUGE_WORD, part_opening, row_text, stitch_name
from tests.sizing.builders import row_plan
from tests.sizing.outside import sources
from tests.sizing.outside.check import Check

HIGH = 10


@cache
def made() -> dict[Op, int]:
    """What the machine makes of the craft's own hood: 40 stitches, 28 at the crown, 8 left."""
    whole: Replay = replay(pattern_of(row_plan(high=HIGH)))
    return dict(whole.made)


def _after_one(op: Op) -> float:
    """The stitches that are fewer when the machine has worked one such stitch into two."""
    row = Row(1, Side.RIGHT, (Operation(op, 1),), 1)
    hook = Hook(Part(PartName.HOOD, (row,), None), fresh(2))
    hook.work(row)
    return float(2 - hook.live)


def _pattern(hood_stitches: int, row: int) -> str:
    """The operations of a row as makers write them, `18 2 18 = 38`."""
    worked = hood(row_plan(hood_stitches)).rows[row - 1]
    counts = " ".join(str(one.count) for one in worked.operations)
    return f"{counts} = {worked.stitches}"


def _first_collar_row() -> str:
    part = collar(row_plan(high=HIGH))
    return row_text(PartName.COLLAR, part.rows[0], Terms.US)


_WORKED = "test_worked_examples.py::"

CHECKS = (
    Check("chain-11", "Foundation chain of a collar of 10 sc", sources.CHAIN_11, 11.0,
          lambda: float(collar(row_plan(high=HIGH)).foundation_chain or 0), "ch",
          also=f"{_WORKED}test_a_collar_10_stitches_high_begins_with_11_chains"),
    Check("chain-words", "The same in the pattern's words", sources.CHAIN_11, "Chain 11",
          lambda: part_opening(collar(row_plan(high=HIGH)), Terms.US).partition(".")[0], ""),
    Check("chain-first", "Chain that the first sc goes into", sources.CHAIN_11,
          "2nd ch from hook", lambda: _first_collar_row().split(" in ")[1].split(",")[0], ""),
    Check("turning", "Turning chain of sc, for who makes one", sources.TURNING, 1.0,
          lambda: float(Turning.ONE), "ch", taken=True),
    Check("sc2tog", "Stitches that one sc2tog takes away", sources.SC2TOG, 1.0,
          lambda: _after_one(Op.SC2TOG), "st"),
    Check("decrease", "Stitches that one invisible decrease takes away", sources.PRACTICE, 1.0,
          lambda: _after_one(Op.DEC), "st"),
    Check("tube-seam", "Slip stitches that join a collar 10 sts high", sources.TUBE, 10.0,
          lambda: float(made()[Op.SL_ST]), "sl st"),
    Check("crown-seam", "Whip stitches that close 8 stitches: 4 on 4", sources.WHIP, 4.0,
          lambda: float(made()[Op.WHIP]), "stitches"),
    Check("row-40", "First decreasing row from 40 stitches", sources.PRACTICE, "18 2 18 = 38",
          lambda: _pattern(40, 3), "", taken=True, also=f"{_WORKED}"
          "test_the_first_decreasing_row_of_40_is_18_sc_2_decreases_18_sc_to_38"),
    Check("row-48", "First decreasing row from 48 stitches", sources.PRACTICE, "22 2 22 = 46",
          lambda: _pattern(48, 3), "", taken=True,
          also=f"{_WORKED}test_from_48_the_first_decreasing_row_is_22_2_22_to_46"),
    Check("row-28", "First crown row, from 28 stitches", sources.PRACTICE, "10 4 10 = 24",
          lambda: _pattern(40, row_plan().crown_row), "", taken=True,
          also=f"{_WORKED}test_from_28_in_the_crown_it_is_10_sc_4_decreases_10_sc_to_24"),
    Check("left-8", "Stitches left after six rows of 2 decreases and five of 4",
          sources.PRACTICE, 8.0, lambda: float(row_plan().last_stitches), "sts", taken=True),
    Check("decreases", "Decreases that the machine then has made", sources.PRACTICE, 32.0,
          lambda: float(made()[Op.DEC]), "dec", taken=True),
    Check("uk-sc", "Single crochet in UK terms", sources.UK, "dc",
          lambda: stitch_name(Op.SC, Terms.UK), "", taken=True),
    Check("uk-sc2tog", "sc2tog in UK terms", sources.UK, "dc2tog",
          lambda: stitch_name(Op.SC2TOG, Terms.UK), "", taken=True),
    Check("uk-ch", "Chain in UK terms", sources.UK, "ch",
          lambda: stitch_name(Op.CH, Terms.UK), "", taken=True),
    Check("uk-sl-st", "Slip stitch in UK terms", sources.UK, "sl st",
          lambda: stitch_name(Op.SL_ST, Terms.UK), "", taken=True),
    Check("uk-gauge", "Gauge in UK terms", sources.UK, "tension",
          lambda: GAUGE_WORD[Terms.UK], "", taken=True),
)  # fmt: skip
