"""What a doctor could reach that knows its world, or less and less of it.

The oracle weighs the slips of `sizing.doctor.slips`, and how a number ends, as the doctor does.
But its picture is the law of the dogs themselves (`law.py`), each slip is as frequent as the
benchmark makes it, and its threshold is set where just 2 % of the true dogs are asked after. No
doctor that weighs the same can do much better: the likelihood ratio is the best test.

Three of them. One knows its world. One knows how strangers are made and how widely they spread,
but of no breed what is its own, which only measured dogs could tell. And one knows neither that
nor which of the three spreads its dogs have, so it must do with one threshold for all.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import exp, log

import numpy as np

from sizing.doctor import Kind
from sizing.doctor.slips import slips
from sizing.dogs import Field
from tests.benchmarks.doctor.cases import MUZZLE, SHOULDER, Order, cases, honest, spoilt
from tests.benchmarks.doctor.dogs import F, G, Lengths, World, stranger_world
from tests.benchmarks.doctor.frontier import ASKED_GOAL, Trusts, frontier
from tests.benchmarks.doctor.law import Array, Law, law_of, law_of_strangers
from tests.benchmarks.doctor.natural import Natural

SPREADS = (0.7, 1.0, 1.3)
CASES = tuple(cases())
_PLACES = {(case.kind, frozenset(case.fields)): place for place, case in enumerate(CASES)}
STEPS = 12
"""Into how many a range of factors is cut."""


def _meant(order: Order) -> Iterator[tuple[int, Lengths, float]]:
    """Each slip's place among the cases, what it says was meant, and the log of its weight."""
    given = order.lengths
    for slip in slips(given, order.unit):
        place = _PLACES.get((slip.kind, frozenset(field for field, _ in slip.moves)))
        if place is not None:  # both girths alike are not among the benchmark's
            meant = given | {field: given[field] * exp(move) for field, move in slip.moves}
            yield place, meant, slip.measure + slip.marks
    for kind, field, (low, high) in ((Kind.MUZZLE, F, MUZZLE), (Kind.SHOULDER, G, SHOULDER)):
        for step in range(STEPS):
            factor = low + (high - low) * (step + 0.5) / STEPS
            meant = given | {field: given[field] / factor}
            yield _PLACES[kind, frozenset({field})], meant, -log(STEPS)


@dataclass(frozen=True)
class Seen:
    """What laws say of orders.

    Attributes:
        logs: orders x laws x (all true, then each case): the log of each one's weight.
        case: of each order, the place of its case; -1 for true dogs.
    """

    logs: Array
    case: Array


def _weighed(order: Order, knowledge: str, laws: Sequence[Law]) -> Array:
    meant = list(_meant(order))
    rows = [order.lengths, *(lengths for _, lengths, _ in meant)]
    points = np.log([[lengths[field] for field in Field] for lengths in rows])
    places = [1 + place for place, _, _ in meant]
    weights = np.array([weight for _, _, weight in meant])
    found = np.full((len(laws), 1 + len(CASES)), -np.inf)
    for row, law in zip(found, laws, strict=True):
        density = law.density(order.dog, knowledge, points)
        row[0] = density[0]
        np.logaddexp.at(row, places, density[1:] + weights)
    return found


def see(world: World, laws: Sequence[Law], knowledge: str, each: int, true: int) -> Seen:
    """Weigh the true dogs of a world, and its slips beyond natural spread, by each of the laws."""
    natural = Natural(world, 1)
    logs, places = [], []
    for place, case in enumerate(CASES):
        for order, beyond in spoilt(world, natural, case, knowledge, each):
            if beyond:
                logs.append(_weighed(order, knowledge, laws))
                places.append(place)
    for order in honest(world, knowledge, true):
        logs.append(_weighed(order, knowledge, laws))
        places.append(-1)
    return Seen(np.array(logs), np.array(places))


def _mixed(logs: Array, shares: Sequence[float]) -> Array:
    found: Array = np.logaddexp.reduce(logs + np.log(shares)[None, :, None], axis=1)
    return found


def trusts(
    seen: Seen, slips_by: Sequence[float] = (1,), true_by: Sequence[float] = (1,)
) -> Trusts:
    """How far numbers are trusted: the log of how much likelier all true is than any slip.

    `slips_by` and `true_by` say how much each law counts, for the slips and for true dogs.
    """
    wrong = _mixed(seen.logs[:, :, 1:], slips_by)
    trust = _mixed(seen.logs[:, :, :1], true_by)[:, 0] - np.logaddexp.reduce(wrong, axis=1)
    right = wrong.argmax(axis=1) == seen.case
    true = seen.case < 0
    pairs = zip(trust[~true].tolist(), right[~true].tolist(), strict=True)
    return Trusts(trust[true].tolist(), list(pairs))


def known(world: World, knowledge: str, each: int, true: int) -> Trusts:
    """How far numbers are trusted by the one that knows the world."""
    return trusts(see(world, [law_of(world)], knowledge, each, true))


@dataclass(frozen=True)
class Shares:
    """Of true dogs asked after; of slips flagged, and rightly explained first."""

    asked: float
    flagged: float
    first: float


def at(seen: Trusts, threshold: float) -> Shares:
    """What a threshold brings."""
    below = [right for trust, right in seen.slips if trust <= threshold]
    asked = sum(trust <= threshold for trust in seen.true) / len(seen.true)
    return Shares(asked, len(below) / len(seen.slips), sum(below) / len(seen.slips))


def shared(worlds: Sequence[Trusts]) -> list[Shares]:
    """What one threshold brings in each world: the highest that asks for 2 % at most in all."""
    least = min(sorted(one.true)[int(ASKED_GOAL * len(one.true)) - 1] for one in worlds)
    return [at(one, least) for one in worlds]


WEIGHTINGS = [
    (slips_by, true_by)
    for slips_by in ((1, 1, 1), (1, 1, 0.1), (3, 1, 0.3), (10, 3, 1), (10, 1, 0.1))
    for true_by in ((1, 1, 1), (1, 1, 3), (0.1, 0.3, 1), (1, 0.3, 0.1))
]
"""How much each spread may count: a doctor may look for slips of narrow dogs above all."""


def unsure(found: Sequence[Seen]) -> list[Shares]:
    """What is reached in each world by the one that does not know how widely its dogs spread.

    Of the weightings, the one that flags most where it flags least.
    """
    tried = [shared([trusts(seen, *by) for seen in found]) for by in WEIGHTINGS]
    return max(tried, key=lambda worlds: min(one.flagged for one in worlds))


def strangers(which: tuple[int, str, int, int]) -> Seen:
    """What the laws of all spreads say in one world of strangers, by the place of its spread."""
    place, knowledge, each, true = which
    laws = [law_of_strangers(spread) for spread in SPREADS]
    return see(stranger_world(SPREADS[place]), laws, knowledge, each, true)


def of_law(seen: Seen, place: int) -> Trusts:
    """How far numbers are trusted by the one that knows the law at that place."""
    return trusts(Seen(seen.logs[:, [place]], seen.case))


def best(seen: Trusts) -> Shares:
    """What is reached where 2 % of true dogs are asked after."""
    found = frontier(seen)
    return Shares(ASKED_GOAL, found.flagged, found.first)


def _cell(found: Shares) -> str:
    return f"{100 * found.flagged:.1f} / {100 * found.first:.1f}"


def rows(
    names: Sequence[str], knowledge: str, whole: Sequence[Shares], found: Sequence[Seen]
) -> Iterator[str]:
    """The lines of the table for one state of knowledge, the worlds of strangers among them."""
    places = {stranger_world(spread).name: place for place, spread in enumerate(SPREADS)}
    one_threshold = unsure(found)
    for name, known_whole in zip(names, whole, strict=True):
        cells = [name, knowledge, _cell(known_whole), "-", "-", "-"]
        if name in places:
            place = places[name]
            least = one_threshold[place]
            of_one_law = _cell(best(of_law(found[place], place)))
            cells[3:] = [of_one_law, _cell(least), f"{100 * least.asked:.2f}"]
        yield f"| {' | '.join(cells)} |"


HEADINGS = (
    "| dogs | told | knows its world | not the breeds' own | nor the spread | asked then |\n"
    "|---|---|---|---|---|---|"
)
