"""How long a hood takes, from its stitch counts and the maker's pace."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, sqrt
from typing import Final

from sizing.gauge import Gauge
from sizing.lognormal import USUAL_Z
from sizing.machine import Replay
from sizing.material import Spread
from sizing.pieces import CLOSING, COLLAR, HOOD, JOINING, Piece, pieces_made
from sizing.rates import AllowanceOf, Pace, Rates
from sizing.rows import Op
from sizing.shrink import Belief
from sizing.timing import HOOD_TIME_SD, PACE_SD, learning_factor

SEAMS: Final = "seams"
NEW_KIND: Final = "a new kind of hood"
"""Work that practice will save."""
REST: Final = "rest and interruptions"
"""Names of tasks."""
UNTIMED: Final = Belief(0.0, PACE_SD.value)
"""What is believed of the time before any hood of this maker was timed."""


@dataclass(frozen=True, slots=True)
class Task:
    """One task and its minutes."""

    name: str
    minutes: float


@dataclass(frozen=True, slots=True)
class Labour:
    """All tasks, the allowance among them; the total is their sum.

    Attributes:
        tasks: in the order of work.
        spread: minutes in all, with the interval that 80 % lie in; None in an old plan.
        model_minutes: work without rest and learned factor, which a finished hood
            is compared with; None in an old plan.
    """

    tasks: tuple[Task, ...]
    spread: Spread | None = None
    model_minutes: float | None = None

    @property
    def minutes(self) -> float:
        """Return the minutes in all."""
        return sum(task.minutes for task in self.tasks)


PACE_OF: Final[dict[Op, tuple[str, int]]] = {
    Op.SC: ("sc", 1),
    Op.SC_BLO: ("sc_blo", 1),
    Op.SC_CH: ("sc", 1),
    Op.DEC: ("dec", 1),
    Op.SC2TOG: ("dec", 1),
    Op.INC: ("sc", 2),
    Op.CH: ("chain", 1),
    Op.SL_ST: ("seam", 1),
    Op.WHIP: ("seam", 1),
}
"""The pace that a stitch is made at, a field name of `Pace`, and how many such it counts for.

What is skipped takes no time and is left out.
"""


def _minutes_per_stitch(pace: Pace, op: Op) -> float:
    if op not in PACE_OF:
        return 0
    kind, times = PACE_OF[op]
    return float(times / getattr(pace, kind))


def _stitching(piece: Piece, pace: Pace) -> float:
    """Return the minutes for a piece's chains and stitches."""
    stitches = sum(count * _minutes_per_stitch(pace, op) for op, count in piece.counts)
    return piece.chains / pace.chain + stitches


def _hand_work(pieces: Sequence[Piece], pace: Pace) -> dict[str, float]:
    """Return the minutes at the hook by task; an add-on is a task of its own name."""
    found = {COLLAR: 0.0, HOOD: 0.0, SEAMS: 0.0}
    for piece in pieces:
        task = SEAMS if piece.name in {JOINING, CLOSING} else piece.name
        found[task] = found.get(task, 0.0) + _stitching(piece, pace)
    return found


def _rest(work: float, rates: Rates) -> float:
    """Return rest and interruptions; see `sizing.rates.AllowanceOf`."""
    if rates.allowance_of is AllowanceOf.WORK:
        return work * rates.allowance
    return work / (1 - rates.allowance) - work


def labour_of(
    made: Replay,
    gauge: Gauge,
    rates: Rates,
    *,
    pieces: Sequence[Piece] | None = None,
    finished: Belief | None = None,
    made_before: int | None = None,
    buttons: int = 0,
) -> Labour:
    """Return the time for a hood.

    Args:
        made: what the stitch machine made of a plain hood; not read when `pieces` are given.
        gauge: of the hood; an untested one costs the time of a swatch.
        rates: the maker's.
        pieces: all pieces of the hood; only from them are row turns known.
        finished: the factor learned from the maker's finished hoods, on all work.
        made_before: hoods of this kind made so far; None where the kind is known by heart. More
            time at the hook comes of it, as a task of its own.
        buttons: buttons to sew on.
    """
    parts = pieces_made(made) if pieces is None else pieces
    fixed = rates.minutes
    hand = _hand_work(parts, rates.pace)
    turns = sum(piece.rows for piece in parts) * fixed.per_turn
    work = [
        Task("swatch", 0 if gauge.tested else fixed.swatch),
        *(Task(name, minutes) for name, minutes in hand.items()),
        *([Task("turning", turns)] if turns else ()),
        Task("weaving in", sum(piece.ends for piece in parts) * fixed.per_end),
        *([Task("buttons", buttons * fixed.per_button)] if buttons else ()),
        Task("trying on", fixed.trying_on),
        Task("packing", fixed.packing),
    ]
    if made_before is not None:
        extra = (sum(hand.values()) + turns) * (learning_factor(made_before, rates.learning) - 1)
        work += [Task(NEW_KIND, extra)] if extra else []
    model = sum(task.minutes for task in work)
    belief = UNTIMED if finished is None else finished
    tasks = [Task(task.name, task.minutes * belief.factor) for task in work]
    rest = _rest(sum(task.minutes for task in tasks), rates)
    tasks.append(Task(REST, rest))
    total = sum(task.minutes for task in tasks)
    out = exp(USUAL_Z * sqrt(belief.sd**2 + HOOD_TIME_SD.value**2))
    return Labour(tuple(tasks), Spread(total / out, total, total * out), model)
