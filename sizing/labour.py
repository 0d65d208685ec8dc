"""How long a hood takes, from its stitch counts and the maker's pace."""

from dataclasses import dataclass

from sizing.gauge import Gauge
from sizing.machine import Replay
from sizing.material import ENDS
from sizing.rates import Rates
from sizing.rows import Op


@dataclass(frozen=True, slots=True)
class Task:
    """One task and its minutes."""

    name: str
    minutes: float


@dataclass(frozen=True, slots=True)
class Labour:
    """All tasks, the allowance among them; the total is their sum."""

    tasks: tuple[Task, ...]

    @property
    def minutes(self) -> float:
        """Return the minutes in all."""
        return sum(task.minutes for task in self.tasks)


def labour_of(made: Replay, gauge: Gauge, rates: Rates) -> Labour:
    """Return the time for a replayed pattern.

    The allowance is a share of shift time: work time is divided by one minus the share.
    """
    count = dict(made.made)
    pace, fixed = rates.pace, rates.minutes
    seam = count.get(Op.SL_ST, 0) + count.get(Op.WHIP, 0)
    first_row = made.chains - 1  # the collar's only plain sc: one in each chain but the turn
    hood = count.get(Op.SC, 0) - first_row
    collar = made.chains / pace.chain + first_row / pace.sc
    swatch = 0 if gauge.tested else fixed.swatch
    work = (
        Task("swatch", swatch),
        Task("collar", collar + count.get(Op.SC_BLO, 0) / pace.sc_blo),
        Task("hood", hood / pace.sc + count.get(Op.DEC, 0) / pace.dec),
        Task("seams", seam / pace.seam),
        Task("weaving in", ENDS.value * fixed.per_end),
        Task("trying on", fixed.trying_on),
        Task("packing", fixed.packing),
    )
    minutes = sum(task.minutes for task in work)
    rest = minutes / (1 - rates.allowance) - minutes
    return Labour((*work, Task("rest and interruptions", rest)))
