"""Dogs for the doctor's benchmark: from its own picture, and from worlds it was not built from.

A world draws a dog with a true weight and four true lengths as a tape would show them.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import exp, log
from random import Random

import numpy as np

from sizing.breeds import BREEDS, Breed
from sizing.doctor import (
    PUBLISHED,
    Finished,
    Offset,
    Prior,
    Subject,
    learn,
    picture,
    spreads,
    subject_of,
)
from sizing.doctor.model import size_of
from sizing.dogs import Dog, Field, HeadType
from sizing.units import HEAVIEST

N, G, P, F = Field
"""Neck length, neck girth, nape length, face girth."""

KNOWLEDGE = ("breed and weight", "breed only", "mix by weight", "unknown")
Lengths = dict[Field, float]
SEED = 7
"""Of the strangers' own constants, in the tables."""


@dataclass(frozen=True)
class Drawn:
    """One dog: its breed's row, its weight in kg as told, its lengths in mm."""

    breed: Breed
    kg: float
    lengths: Lengths


@dataclass(frozen=True)
class World:
    """A name, its breeds, how it draws a dog of a breed, and what the doctor knows in it.

    `draws` goes into the seeds of its dogs: with another one they are others.
    """

    name: str
    breeds: Sequence[Breed]
    draw: Callable[[Random, Breed], Drawn]
    priors: dict[str, Prior]
    taught: Prior | None = None
    draws: str = ""

    @property
    def new(self) -> bool:
        """Whether the doctor was not built from its dogs, and has learned from none of them."""
        return self.draw is not _model_dog and self.taught is None

    def floor(self, breed: Breed) -> Prior:
        """The published figures, or what is left of them."""
        return self.priors.get(breed.name, PUBLISHED)

    def prior(self, breed: Breed) -> Prior:
        """What finished orders taught, if any."""
        return self.taught or self.floor(breed)


def subject(drawn: Drawn, knowledge: str) -> Subject:
    """What the doctor is told of a dog; the row's own figures are not looked up again."""
    breed = drawn.breed if knowledge.startswith("breed") else None
    kg = drawn.kg if "weight" in knowledge else None
    told = subject_of(Dog(weight_kg=kg))
    if breed is None:
        return told
    return Subject(
        size=size_of(kg, breed),
        head=breed.head,
        head_known=True,
        breed=breed,
        called=f"a {breed.name}",
    )


def _model_dog(rng: Random, breed: Breed) -> Drawn:
    size = size_of(None, breed)
    kg = min(max(exp(rng.gauss(size.mean, size.variance**0.5)), 0.5), 150.0)
    shape = picture(subject(Drawn(breed, kg, {}), "breed and weight"), Field)
    wide = spreads.RARE_WIDER.value if rng.random() < spreads.RARE.value else 1.0
    lower = np.linalg.cholesky(np.array(shape.covariance))
    off = lower @ np.array([rng.gauss(0, wide) for _ in Field])
    logs = np.array(shape.mean) + off
    return Drawn(breed, kg, {f: float(exp(y)) for f, y in zip(Field, logs, strict=True)})


def model_world() -> World:
    return World("the doctor's own picture", BREEDS, _model_dog, {})


def _tape(rng: Random, mm: float, spread: float) -> float:
    """A tape's reading: 3 percent and half a centimetre, as one owner repeats it."""
    return mm * exp(rng.gauss(0, 0.03 * spread)) + rng.gauss(0, 5 * spread)


def _uniform(rng: Random, low: float, high: float, spread: float) -> float:
    """Evenly between two ends that lie further from their middle by the spread."""
    middle, half = (low + high) / 2, (high - low) / 2 * spread
    return rng.uniform(middle - half, middle + half)


def _body(
    rng: Random, kg: float, neck_k: float, face_k: float, power: float, spread: float
) -> Lengths:
    """Lengths built as a body is, not as the doctor's picture is.

    The collar and the nape are even shares of a neck and a head, with hard ends.
    """
    size, head_size = kg ** (1 / 3), 30 ** (1 / 3 - power) * kg**power
    stout = rng.gauss(0, 0.05 * spread)
    head = 83 * head_size * exp(rng.gauss(0, 0.06 * spread))
    neck = head * _uniform(rng, 0.65, 1.05, spread)
    lengths = {
        N: neck * _uniform(rng, 0.36, 0.97, spread),
        G: 10 * neck_k * size * exp(stout + rng.gauss(0, 0.05 * spread)),
        P: head * _uniform(rng, 0.42, 0.70, spread),
        F: 10 * face_k * head_size * exp(stout + rng.gauss(0, 0.04 * spread)),
    }
    return {field: max(_tape(rng, mm, spread), 15.0) for field, mm in lengths.items()}


_TRUE_K = {
    HeadType.LONG: (13.7, 13.4), HeadType.MEDIUM: (14.8, 14.8),
    HeadType.SHORT: (16.5, 16.5), HeadType.MASTIFF: (16.4, 16.9),
}  # fmt: skip


def _real_weight(rng: Random, breed: Breed, spread: float) -> float:
    low, high = breed.weight_kg
    return rng.uniform(low, high) * exp(rng.gauss(0.06, 0.13 * spread))


def stranger_world(spread: float, seed: int = SEED) -> World:
    """Each breed has its own constants, its own power of the weight, its own tape habits."""
    fixed = Random(seed)  # noqa: S311 - drawn dogs, no secrets
    ks: dict[str, tuple[float, float, float]] = {}
    for breed in BREEDS:
        neck, face = _TRUE_K[breed.head]
        both = fixed.gauss(0, 0.07 * spread)
        ks[breed.name] = (
            neck * exp(both + fixed.gauss(0, 0.05 * spread)),
            face * exp(both + fixed.gauss(0, 0.04 * spread)),
            fixed.uniform(0.287, 1 / 3),
        )

    def draw(rng: Random, breed: Breed) -> Drawn:
        kg = _real_weight(rng, breed, spread)
        told = min(kg * exp(rng.gauss(0, 0.05)), HEAVIEST.value)
        neck, face, power = ks[breed.name]
        return Drawn(breed, told, _body(rng, kg, neck, face, power, spread))

    return World(f"strangers, spread x {spread:g}", BREEDS, draw, {})


ORDERS = 50
"""Finished orders from which a shop has learned."""


def taught_world(spread: float) -> World:
    """Strangers again, whom a shop has made hoods for."""
    world, rng = stranger_world(spread), Random(f"finished {spread}")  # noqa: S311 - as above
    orders = []
    for _ in range(ORDERS):
        drawn = world.draw(rng, rng.choice(world.breeds))
        knowledge = rng.choice(KNOWLEDGE)
        breed = drawn.breed.name if knowledge.startswith("breed") else None
        kg = drawn.kg if "weight" in knowledge else None
        orders.append(Finished(Dog(breed, kg), drawn.lengths))
    name = f"strangers x {spread:g}, after {ORDERS} orders"
    return replace(world, name=name, taught=learn(PUBLISHED, orders))


HELD_OUT = {
    # skull in cm, neck by skull, kg: the figures of section "what it rests on", docs/doctor.md
    "Chesapeake Bay Retriever": (52.1, 1.02 / 1.15, 30.6),
    "Kangal Shepherd Dog": (48.4, 0.95, 40.9),
    "Ca de Bou": (59.5, 0.97, 36.0),
    "Dogue de Bordeaux": (64.0, 0.98, 54.4),
    "Bulldog": (43.0, 0.98, 22.0),
    "Lagotto Romagnolo": (36.0, 0.93, 14.5),
    "Greyhound": (37.5, 0.93, 24.5),
}
_POINTS = {HeadType.LONG: 2, HeadType.MEDIUM: 4, HeadType.SHORT: 2, HeadType.MASTIFF: 3}
"""How many breeds stand behind a head type's constants, at most."""


def _without(breed: Breed, skull: float, share: float, kg: float) -> Prior:
    """The doctor's constants as if this breed had not been among those they rest on."""
    offsets = dict(PUBLISHED.offsets)
    for field, cm in ((F, skull), (G, skull * share)):
        k = spreads.MIDDLES[field][breed.head].value
        away = (log(k) - log(cm / kg ** (1 / 3))) / (_POINTS[breed.head] - 1)
        old = offsets[field, breed.head]
        # Not more than the bounds of what may be learned.
        offsets[field, breed.head] = Offset(away, old.variance)
    return Prior(offsets)


def held_out_world() -> World:
    """Breeds with published girths, which the doctor's row and constants are robbed of."""
    rows = {
        breed.name: replace(
            breed, facts_cite="", head_girth_cm=None, head_length_cm=None, neck_girth_cm=None,
            neck_length_cm=None, head_length_of_height=None, neck_of_head_length=None,
        )
        for breed in BREEDS if breed.name in HELD_OUT
    }  # fmt: skip

    def draw(rng: Random, breed: Breed) -> Drawn:
        skull, share, middle = HELD_OUT[breed.name]
        kg = _real_weight(rng, breed, 1.0)
        k = skull / middle ** (1 / 3)
        # The figure holds at its own weight, whatever the power.
        face = k * (middle / 30) ** (1 / 3 - 0.31)
        return Drawn(breed, kg, _body(rng, kg, k * share, face, 0.31, 1.0))

    priors = {name: _without(rows[name], *HELD_OUT[name]) for name in HELD_OUT}
    return World("held-out breeds", tuple(rows.values()), draw, priors)


def worlds(seed: int | None = None) -> Iterator[World]:
    """Yield the worlds of the tables, or, with a seed, other dogs and other strangers."""
    draws = "" if seed is None else f" {seed}"
    yield replace(model_world(), draws=draws)
    for spread in (0.7, 1.0, 1.3):
        yield replace(stranger_world(spread, SEED if seed is None else seed), draws=draws)
    yield replace(held_out_world(), draws=draws)
    for spread in (0.7, 1.3):
        yield replace(taught_world(spread), draws=draws)
