"""How often the measurement doctor is right.

    python3 -m tests.benchmarks.doctor [dogs for each slip, 200] [true dogs, 10000]

It draws dogs from several worlds, spoils their numbers in each known way, and prints the tables
of docs/doctor.md. The seeds are fixed, so the tables come out the same.
"""

import sys
from collections import defaultdict
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import combinations
from random import Random

from sizing.doctor import Explanation, Kind, Severity
from sizing.doctor.look import sterner
from sizing.doctor.slips import digits_swapped
from sizing.doctor.verdict import leading, runner_up
from sizing.doctor.weigh import Weighed, explained
from sizing.dogs import Field
from sizing.units import LengthUnit
from tests.benchmarks.doctor_dogs import (
    KNOWLEDGE,
    Drawn,
    F,
    G,
    Lengths,
    N,
    Natural,
    P,
    World,
    subject,
    worlds,
)
from tests.benchmarks.doctor_frontier import HEADINGS, Trusts
from tests.benchmarks.doctor_frontier import row as frontier_row

LONGEST = 3000
CM, INCH = LengthUnit.CM, LengthUnit.INCH
Spoil = Callable[[Random, Lengths, LengthUnit], Lengths | None]


@dataclass(frozen=True)
class Case:
    """A slip: its kind, the fields it makes wrong, and how it spoils the true lengths."""

    kind: Kind
    fields: tuple[Field, ...]
    spoil: Spoil


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


def to_tape(mm: float, unit: LengthUnit) -> float:
    """A length as a tape shows it: to half a centimetre or a quarter of an inch."""
    step = 5.0 if unit is CM else 25.4 / 4
    return max(round(mm / step), 1) * step


def in_inches(mm: float) -> float:
    """The mm of a number of inches, to the quarter, read as centimetres."""
    return to_tape(mm, INCH) / 2.54


def in_centimetres(mm: float) -> float:
    """The mm of a number of centimetres, to the half, read as inches."""
    return to_tape(mm, CM) * 2.54


def _one(field: Field, change: Callable[[Random, float, LengthUnit], float | None]) -> Spoil:
    def spoil(rng: Random, true: Lengths, unit: LengthUnit) -> Lengths | None:
        changed = change(rng, true[field], unit)
        return None if changed is None else {**true, field: changed}

    return spoil


def _of_field(field: Field) -> Iterator[Case]:
    one = (field,)
    yield Case(Kind.INCHES, one, _one(field, lambda _, mm, __: in_inches(mm)))
    yield Case(Kind.CENTIMETRES, one, _one(field, lambda _, mm, __: in_centimetres(mm)))
    yield Case(Kind.TEN_TIMES_LESS, one, _one(field, lambda _, mm, __: mm / 10))
    yield Case(Kind.TEN_TIMES_MORE, one, _one(field, lambda _, mm, __: mm * 10))
    yield Case(Kind.DIGITS, one, _one(field, lambda _, mm, unit: digits_swapped(mm, unit)))


def _times(low: float, high: float) -> Callable[[Random, float, LengthUnit], float]:
    return lambda rng, mm, unit: to_tape(mm * rng.uniform(low, high), unit)


def _all(change: Callable[[float], float]) -> Spoil:
    return lambda _, true, __: {field: change(mm) for field, mm in true.items()}


def _swap(one: Field, other: Field) -> Spoil:
    return lambda _, true, __: {**true, one: true[other], other: true[one]}


def cases() -> Iterator[Case]:
    for field in Field:
        yield from _of_field(field)
    yield Case(Kind.ALL_INCHES, tuple(Field), _all(in_inches))
    yield Case(Kind.ALL_CENTIMETRES, tuple(Field), _all(in_centimetres))
    for one, other in combinations(Field, 2):
        yield Case(Kind.SWAPPED, (one, other), _swap(one, other))
    for field in (G, F):
        yield Case(Kind.HALF, (field,), _one(field, _times(0.5, 0.5)))
    yield Case(Kind.MUZZLE, (F,), _one(F, _times(0.50, 0.67)))
    yield Case(Kind.SHOULDER, (G,), _one(G, _times(1.05, 1.30)))
    yield Case(Kind.NAPE_INCLUDED, (N,), lambda _, t, __: {**t, N: t[N] + t[P]})


def shown(dog: Drawn, unit: LengthUnit) -> Lengths:
    """The dog's lengths as the owner reads them off the tape."""
    return {field: to_tape(mm, unit) for field, mm in dog.lengths.items()}


@dataclass(frozen=True)
class Look:
    """What the doctor says of an order, and how far it trusts the numbers."""

    severity: Severity | None
    weighed: Weighed

    @property
    def trust(self) -> float:
        return 0.0 if self.severity is Severity.STOP else self.weighed.marked


def look(world: World, dog: Drawn, lengths: Lengths, knowledge: str, unit: LengthUnit) -> Look:
    known = subject(dog, knowledge)
    prior, floor = world.prior(dog.breed), world.floor(dog.breed)
    seen = sterner(known, lengths, unit, prior, floor)
    weighed, severity = explained(seen.trials, seen.doubt, lengths), seen.severity
    return Look(severity, weighed)


def fits(case: Case, explanation: Explanation | None) -> bool:
    """Whether an explanation is what happened."""
    if explanation is None:
        return False
    return explanation.kind is case.kind and set(explanation.fields) == set(case.fields)


def count(
    world: World, natural: Natural, case: Case, knowledge: str, dogs: int, seen: Trusts
) -> Count:
    """Spoil the numbers of some dogs in one way and count what the doctor says."""
    rng = Random(f"{world.name} {case.kind} {case.fields} {knowledge}")  # noqa: S311 - drawn dogs, no secrets
    found = Count()
    for _ in range(dogs):
        dog = world.draw(rng, rng.choice(world.breeds))
        unit = rng.choice((CM, INCH))
        true = shown(dog, unit)
        written = case.spoil(rng, true, unit)
        if written is None or written == true or max(written.values()) > LONGEST:
            continue
        said = look(world, dog, written, knowledge, unit)
        beyond = natural.crossed(dog, true, written, knowledge)
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
    rng = Random(f"{world.name} true {knowledge}")  # noqa: S311 - drawn dogs, no secrets
    said: dict[Severity | None, int] = defaultdict(int)
    for _ in range(dogs):
        dog = world.draw(rng, rng.choice(world.breeds))
        unit = rng.choice((CM, INCH))
        found = look(world, dog, shown(dog, unit), knowledge, unit)
        said[found.severity] += 1
        if seen:
            seen.true.append(found.trust)
    return (said[Severity.QUERY] + said[Severity.STOP]) / dogs, said[Severity.STOP] / dogs


Measured = tuple[float, float, dict[Kind, Count], Trusts]


def measure(which: tuple[int, str, int, int]) -> Measured:
    """Measure one world with one state of knowledge; the world by its number."""
    number, knowledge, each, true = which
    world = list(worlds())[number]
    natural = Natural(world, 1)
    by_kind: dict[Kind, Count] = defaultdict(Count)
    seen = Trusts()
    for case in cases():
        by_kind[case.kind].add(count(world, natural, case, knowledge, each, seen))
    return (*true_dogs(world, knowledge, true, seen), by_kind, seen)


def share(part: int, whole: int) -> str:
    return f"{100 * part / whole:.1f}" if whole else "-"


def summed(found: Measured) -> Count:
    total = Count()
    for one in found[2].values():
        total.add(one)
    return total


def overview(name: str, knowledge: str, found: Measured) -> str:
    queried, stopped, *_ = found
    total = summed(found)
    shares = (
        share(total.flagged, total.beyond), share(total.right, total.beyond),
        share(total.named, total.beyond), share(total.all_flagged, total.all),
    )  # fmt: skip
    return (
        f"| {name} | {knowledge} | {100 * queried:.2f} | {100 * stopped:.2f} | {total.beyond} |"
        f" {' | '.join(shares)} |"
    )


def _cell(one: Count) -> str:
    flagged, right = share(one.flagged, one.beyond), share(one.right, one.beyond)
    return f"{flagged} / {right} ({one.beyond})"


def by_slip(found: list[Measured]) -> Iterator[str]:
    yield f"| slip | {' | '.join(KNOWLEDGE)} |"
    yield "|---" * (1 + len(found)) + "|"
    for kind in found[0][2]:
        yield f"| {kind} | {' | '.join(_cell(one[2][kind]) for one in found)} |"
    yield f"| **all** | {' | '.join(_cell(summed(one)) for one in found)} |"


def tables(each: int, true: int) -> Iterator[str]:
    """Yield the lines of the overview, of the frontier, then of one table for each world."""
    names = [world.name for world in worlds()]
    asked = [(number, what, each, true) for number in range(len(names)) for what in KNOWLEDGE]
    with ProcessPoolExecutor() as pool:
        found = list(pool.map(measure, asked))
    yield "| dogs | told | asked | stopped | beyond | flagged | first | named | of all |"
    yield "|---|---|---|---|---|---|---|---|---|"
    for (number, knowledge, *_), one in zip(asked, found, strict=True):
        yield overview(names[number], knowledge, one)
    yield f"\n{HEADINGS}"
    for (number, knowledge, *_), one in zip(asked, found, strict=True):
        yield frontier_row(names[number], knowledge, one[3])
    for number, name in enumerate(names):
        yield f"\n### {name[0].upper()}{name[1:]}\n"
        size = len(KNOWLEDGE)
        yield from by_slip(found[number * size : (number + 1) * size])


def main() -> None:
    each, true = (int(text) for text in (sys.argv[1:] + ["200", "10000"][len(sys.argv) - 1 :]))
    for line in tables(each, true):
        sys.stdout.write(f"{line}\n")


if __name__ == "__main__":
    main()
