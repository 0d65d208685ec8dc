"""What a pattern takes, part by part and colour by colour: for yarn and time."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import groupby
from operator import attrgetter
from typing import Final

from sizing.rows import ADD_ONS, SEAMS, Op, Part, PartName, Pattern, Row

# Named here: a member looked up through its class takes ten times as long.
_CH: Final = Op.CH
_SKIP: Final = Op.SKIP


@dataclass(frozen=True, slots=True)
class Tally:
    """The work of one part in one colour, all its copies together.

    Attributes:
        part: which part; several shapes of one kind make one tally each.
        colour: the colour's name; empty for the only one.
        made: stitches by kind, whip stitches that sew a shape on among them; an `inc` is one
            increase, that is two single crochets. What is skipped takes no yarn and is left out.
        chains: foundation, turning chains and chains over openings.
        rows: rows or rounds.
        ends: yarn ends to weave in: two for every time this colour is begun. A seam is worked
            with the tail of the part before it.
    """

    part: PartName
    colour: str
    made: tuple[tuple[Op, int], ...]
    chains: int
    rows: int
    ends: int


@dataclass(frozen=True, slots=True)
class Replay:
    """What the machine made: stitches by kind, and all chains."""

    made: tuple[tuple[Op, int], ...]
    chains: int


@dataclass(slots=True)
class _Count:
    made: dict[Op, int] = field(default_factory=dict)
    chains: int = 0
    rows: int = 0
    ends: int = 0

    def add(self, rows: Iterable[Row], turning_chain: int) -> None:
        """Add rows, each with its chains at the turn before it; the first has none."""
        made = self.made
        for row in rows:
            self.rows += 1
            if row.row > 1:
                self.chains += turning_chain
            for operation in row.operations:
                op, count = operation.op, operation.count
                if op is _CH:
                    self.chains += count
                elif op is not _SKIP:
                    made[op] = made.get(op, 0) + count


def _sewn(part: Part) -> int:
    """Return the whip stitches that sew one copy on: all round, or along a leaf's base."""
    if part.part is PartName.LEAF:
        return (part.foundation_chain or 1) - 1
    return part.rows[-1].stitches if part.part in ADD_ONS else 0


def _of(part: Part) -> dict[str, _Count]:
    found: dict[str, _Count] = defaultdict(_Count)
    ends = 0 if part.part in SEAMS else 2
    for colour, rows in groupby(part.rows, attrgetter("colour")):
        count = found[colour]
        count.add(rows, part.turning_chain)
        count.ends += ends
    if part.rows:
        found[part.rows[0].colour].chains += part.foundation_chain or 0
        if part.part in ADD_ONS:
            made = found[part.rows[-1].colour].made
            made[Op.WHIP] = made.get(Op.WHIP, 0) + _sewn(part)
    return found


def tally(pattern: Pattern) -> tuple[Tally, ...]:
    """Return the work of each part in each of its colours, in the order of work."""
    return tuple(
        Tally(
            part=part.part,
            colour=colour,
            made=tuple(sorted([(op, n * part.copies) for op, n in count.made.items()])),
            chains=count.chains * part.copies,
            rows=count.rows * part.copies,
            ends=count.ends * part.copies,
        )
        for part in pattern.parts
        for colour, count in _of(part).items()
    )


def total(work: Iterable[Tally]) -> Replay:
    """Return what the work of all parts comes to."""
    made: dict[Op, int] = {}
    chains = 0
    for count in work:
        for op, number in count.made:
            made[op] = made.get(op, 0) + number
        chains += count.chains
    return Replay(tuple(sorted(made.items())), chains)
