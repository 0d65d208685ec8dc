"""What the doctor says of each order, counted."""

from collections import defaultdict
from dataclasses import dataclass

from sizing.doctor import Explanation, Severity
from sizing.doctor.look import sterner
from sizing.doctor.verdict import leading, runner_up
from sizing.doctor.weigh import Weighed, explained
from tests.benchmarks.doctor.cases import Case, Order, honest, spoilt
from tests.benchmarks.doctor.dogs import World, subject
from tests.benchmarks.doctor.frontier import Trusts
from tests.benchmarks.doctor.natural import Natural


@dataclass
class Count:
    """How often a slip was flagged and rightly explained.

    `all` counts every slip, `beyond` those that natural spread cannot explain; `flagged`,
    `right` (explained rightly first) and `named` (first, or second in the sentence) are of these.
    """

    all: int = 0
    all_flagged: int = 0
    beyond: int = 0
    flagged: int = 0
    right: int = 0
    named: int = 0

    def add(self, other: "Count") -> None:
        for name in vars(other):
            setattr(self, name, getattr(self, name) + getattr(other, name))


@dataclass(frozen=True)
class Look:
    """What the doctor says of an order, and how far it trusts the numbers."""

    severity: Severity | None
    weighed: Weighed

    @property
    def trust(self) -> float:
        return 0.0 if self.severity is Severity.STOP else self.weighed.marked


def look(world: World, order: Order, knowledge: str) -> Look:
    known = subject(order.dog, knowledge)
    prior, floor = world.prior(order.dog.breed), world.floor(order.dog.breed)
    seen = sterner(known, order.lengths, order.unit, prior, floor)
    return Look(seen.severity, explained(seen.trials, seen.doubt, order.lengths))


def fits(case: Case, explanation: Explanation | None) -> bool:
    """Whether an explanation is what happened."""
    if explanation is None:
        return False
    return explanation.kind is case.kind and set(explanation.fields) == set(case.fields)


def count(
    world: World, natural: Natural, case: Case, knowledge: str, dogs: int, seen: Trusts
) -> Count:
    """Spoil the numbers of some dogs in one way and count what the doctor says."""
    found = Count()
    for order, beyond in spoilt(world, natural, case, knowledge, dogs):
        said = look(world, order, knowledge)
        flagged = said.severity is not None
        first = leading(said.weighed)
        fitting = fits(case, first)
        right = flagged and fitting
        named = right or (flagged and fits(case, runner_up(said.weighed, first)))
        found.add(
            Count(1, flagged, beyond, beyond and flagged, beyond and right, beyond and named)
        )
        if beyond:
            seen.slips.append((said.trust, fitting))
    return found


def true_dogs(
    world: World, knowledge: str, dogs: int, seen: Trusts | None = None
) -> tuple[float, float]:
    """Return the shares of true dogs that are asked after, and stopped."""
    said: dict[Severity | None, int] = defaultdict(int)
    for order in honest(world, knowledge, dogs):
        found = look(world, order, knowledge)
        said[found.severity] += 1
        if seen:
            seen.true.append(found.trust)
    return (said[Severity.QUERY] + said[Severity.STOP]) / dogs, said[Severity.STOP] / dogs
