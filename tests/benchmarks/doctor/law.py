"""How dogs spread, as one knows it who has seen them all: normals of ln of weight and lengths."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from math import exp, log
from random import Random

import numpy as np
from numpy.typing import NDArray

from sizing.breeds import BREEDS, Breed
from sizing.doctor import picture, spreads
from sizing.doctor.model import size_of
from sizing.dogs import Field
from tests.benchmarks.doctor.dogs import Drawn, World, model_world, stranger_world, subject

Array = NDArray[np.float64]
DOGS = 1000
"""Dogs drawn of each breed, from which its normal is known."""
WORLDS = 50
"""Worlds drawn, from which a law is known whose worlds differ."""


class Normals:
    """Some normals, each with its share.

    The squared distance of a point from a middle is a polynomial of the point, so many points are
    weighed by many normals in one product of matrices.
    """

    def __init__(self, means: Array, covariances: Array, shares: Array) -> None:
        """Take means, normals x size; covariances, normals x size x size; shares."""
        precision = np.linalg.inv(covariances)
        pull = np.einsum("nij,nj->ni", precision, means)
        squared = np.einsum("ni,ni->n", pull, means)
        _, log_det = np.linalg.slogdet(covariances)
        level = np.log(shares) - (squared + log_det) / 2
        flat = precision.reshape(len(means), -1)
        self._factors = np.concatenate([-flat / 2, pull, level[:, None]], axis=1).T

    def density(self, points: Array) -> Array:
        """Log-densities of points x size, but for a constant."""
        squares = (points[:, :, None] * points[:, None, :]).reshape(len(points), -1)
        terms = np.concatenate([squares, points, np.ones((len(points), 1))], axis=1)
        each = terms @ self._factors
        top = each.max(axis=1)
        found: Array = top + np.log(np.exp(each - top[:, None]).sum(axis=1))
        return found


@dataclass(frozen=True)
class OfBreed:
    """The normals of one breed: means of ln kg and ln lengths, covariances, shares."""

    means: Sequence[Array]
    covariances: Sequence[Array]
    shares: Sequence[float]


def _normals(breeds: Iterable[OfBreed], *, weighed: bool) -> Normals:
    """The normals of breeds together; without the weight, those of the lengths alone."""
    first = 0 if weighed else 1
    all_ = list(breeds)
    return Normals(
        np.array([mean[first:] for one in all_ for mean in one.means]),
        np.array([c[first:, first:] for one in all_ for c in one.covariances]),
        np.array([share for one in all_ for share in one.shares]) / len(all_),
    )


class Law:
    """How the dogs of a world spread, for what an order tells of its dog."""

    def __init__(self, breeds: dict[str, OfBreed]) -> None:
        """Take the normals of each breed, by its name."""
        self._breeds = breeds
        self._made: dict[tuple[str, bool], Normals] = {}

    def _told(self, name: str, *, weighed: bool) -> Normals:
        key = name, weighed
        if key not in self._made:
            of = [self._breeds[name]] if name else self._breeds.values()
            self._made[key] = _normals(of, weighed=weighed)
        return self._made[key]

    def density(self, dog: Drawn, knowledge: str, logs: Array) -> Array:
        """Log-densities of ln lengths, points x 4, of dogs of which that is told; no constants."""
        name = dog.breed.name if knowledge.startswith("breed") else ""
        weighed = "weight" in knowledge
        if weighed:
            logs = np.concatenate([np.full((len(logs), 1), log(dog.kg)), logs], axis=1)
        return self._told(name, weighed=weighed).density(logs)


def _model_breed(breed: Breed) -> OfBreed:
    """A breed in the doctor's own picture, taken at its middle weight, rare dogs included."""
    size = size_of(None, breed)
    shape = picture(subject(Drawn(breed, exp(size.mean), {}), "breed and weight"), Field)
    along = np.array([1.0, *shape.growth])
    rare, wider = spreads.RARE.value, spreads.RARE_WIDER.value
    covariances = []
    for scale in (1.0, wider):
        covariance = size.variance * np.outer(along, along)
        covariance[1:, 1:] += scale**2 * np.array(shape.covariance)
        covariances.append(covariance)
    mean = np.array([size.mean, *shape.mean])
    return OfBreed([mean, mean], covariances, [1 - rare, rare])


def _seen(dogs: Iterable[Drawn]) -> OfBreed:
    """A breed as a normal, from dogs of it."""
    logs = np.array([[log(d.kg), *(log(d.lengths[f]) for f in Field)] for d in dogs])
    return OfBreed([logs.mean(axis=0)], [np.cov(logs.T)], [1.0])


def _drawn(worlds: Sequence[World], breed: Breed, rng: Random) -> Iterator[Drawn]:
    for world in worlds:
        for _ in range(DOGS // len(worlds)):
            yield world.draw(rng, breed)


def law_of(world: World) -> Law:
    """The law of a world, its breeds' own middles and spreads included."""
    if world.name == model_world().name:
        return Law({breed.name: _model_breed(breed) for breed in world.breeds})
    rng = Random(f"law of {world.name}")  # noqa: S311 - drawn dogs, no secrets
    return Law({breed.name: _seen(_drawn([world], breed, rng)) for breed in world.breeds})


@cache
def law_of_strangers(spread: float) -> Law:
    """The law by which strangers are made, but of no breed what is its own."""
    rng = Random(f"strangers {spread}")  # noqa: S311 - as above
    worlds = [stranger_world(spread, 1000 + number) for number in range(WORLDS)]
    return Law({breed.name: _seen(_drawn(worlds, breed, rng)) for breed in BREEDS})
