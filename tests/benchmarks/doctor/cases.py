"""The slips of the benchmark: how each spoils true numbers, and on which dogs it is tried."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import combinations
from random import Random

from sizing.doctor import Kind
from sizing.doctor.slips import digits_swapped
from sizing.dogs import Field
from sizing.units import LengthUnit
from tests.benchmarks.doctor.dogs import Drawn, F, G, Lengths, N, P, World
from tests.benchmarks.doctor.natural import Natural

LONGEST = 3000
MUZZLE, SHOULDER = (0.50, 0.67), (1.05, 1.30)
"""What a girth taken there is of the right one, evenly."""
CM, INCH = LengthUnit.CM, LengthUnit.INCH
Spoil = Callable[[Random, Lengths, LengthUnit], Lengths | None]


@dataclass(frozen=True)
class Case:
    """A slip: its kind, the fields it makes wrong, and how it spoils the true lengths."""

    kind: Kind
    fields: tuple[Field, ...]
    spoil: Spoil


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
    yield Case(Kind.MUZZLE, (F,), _one(F, _times(*MUZZLE)))
    yield Case(Kind.SHOULDER, (G,), _one(G, _times(*SHOULDER)))
    yield Case(Kind.NAPE_INCLUDED, (N,), lambda _, t, __: {**t, N: t[N] + t[P]})


def shown(dog: Drawn, unit: LengthUnit) -> Lengths:
    """The dog's lengths as the owner reads them off the tape."""
    return {field: to_tape(mm, unit) for field, mm in dog.lengths.items()}


@dataclass(frozen=True)
class Order:
    """One dog's numbers as they were written, in an order of that unit."""

    dog: Drawn
    unit: LengthUnit
    lengths: Lengths


def spoilt(
    world: World, natural: Natural, case: Case, knowledge: str, dogs: int
) -> Iterator[tuple[Order, bool]]:
    """Orders with that slip, and whether it is beyond natural spread."""
    rng = Random(f"{world.name}{world.draws} {case.kind} {case.fields} {knowledge}")  # noqa: S311 - drawn dogs, no secrets
    for _ in range(dogs):
        dog = world.draw(rng, rng.choice(world.breeds))
        unit = rng.choice((CM, INCH))
        true = shown(dog, unit)
        written = case.spoil(rng, true, unit)
        if written is None or written == true or max(written.values()) > LONGEST:
            continue
        yield Order(dog, unit, written), natural.crossed(dog, true, written, knowledge)


def honest(world: World, knowledge: str, dogs: int) -> Iterator[Order]:
    """Orders whose numbers are true."""
    rng = Random(f"{world.name}{world.draws} true {knowledge}")  # noqa: S311 - drawn dogs, no secrets
    for _ in range(dogs):
        dog = world.draw(rng, rng.choice(world.breeds))
        unit = rng.choice((CM, INCH))
        yield Order(dog, unit, shown(dog, unit))
