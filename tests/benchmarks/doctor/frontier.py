"""What any threshold could reach: of true dogs asked after against slips found.

The doctor asks where the probability that all is true, its trust, lies below a threshold. Moved
up, more slips are found and more true dogs asked after; here is how far each goes.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import ceil

ASKED_GOAL, FLAGGED_GOAL, FIRST_GOAL = 0.02, 0.95, 0.90


@dataclass
class Trusts:
    """How far numbers were trusted, 0 where they are stopped whatever explains them.

    Attributes:
        true: of true dogs.
        slips: of slips beyond natural spread, each with whether the right explanation comes first.
    """

    true: list[float] = field(default_factory=list)
    slips: list[tuple[float, bool]] = field(default_factory=list)


@dataclass(frozen=True)
class Frontier:
    """What thresholds could reach, as shares.

    Attributes:
        flagged, first: of slips, where as many true dogs are asked after as the goal allows.
        asked: of true dogs, where as many slips are flagged as the goal wants.
        asked_first: of true dogs, where as many are explained rightly first, too; None where no
            threshold brings that.
    """

    flagged: float
    first: float
    asked: float
    asked_first: float | None

    @property
    def both(self) -> bool:
        """Whether a threshold meets all three goals."""
        return self.asked_first is not None and self.asked_first <= ASKED_GOAL


def _up_to(trusts: Sequence[float], threshold: float) -> float:
    return sum(trust <= threshold for trust in trusts) / len(trusts)


def _least(found: Sequence[float], goal: float, of: int) -> float | None:
    """The least threshold under which so large a share of all lies, or None."""
    needed = ceil(goal * of)
    return sorted(found)[needed - 1] if needed <= len(found) else None


def frontier(seen: Trusts) -> Frontier:
    """Return what thresholds could reach in a world."""
    asked = sorted(seen.true)[: int(ASKED_GOAL * len(seen.true))]
    slips, right = [trust for trust, _ in seen.slips], [trust for trust, ok in seen.slips if ok]
    wanted = _least(slips, FLAGGED_GOAL, len(slips))
    first = _least(right, FIRST_GOAL, len(slips))
    assert wanted is not None
    return Frontier(
        flagged=_up_to(slips, asked[-1]),
        first=sum(trust <= asked[-1] for trust in right) / len(slips),
        asked=_up_to(seen.true, wanted),
        asked_first=None if first is None else _up_to(seen.true, max(first, wanted)),
    )


def row(name: str, knowledge: str, seen: Trusts) -> str:
    """Return a line of the table."""
    found = frontier(seen)
    both = "none does" if found.asked_first is None else f"{100 * found.asked_first:.2f}"
    cells = (
        name, knowledge, f"{100 * found.flagged:.1f}", f"{100 * found.first:.1f}",
        f"{100 * found.asked:.2f}", both, "yes" if found.both else "**no**",
    )  # fmt: skip
    return f"| {' | '.join(cells)} |"


HEADINGS = (
    "| dogs | told | flagged at 2 % asked | first at 2 % asked | asked for 95 % flagged"
    " | asked for 90 % first, too | reachable |\n|---|---|---|---|---|---|---|"
)
