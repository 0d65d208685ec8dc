"""What the natural spread allows: measured on a world's own dogs, not on the doctor's picture."""

from dataclasses import replace
from math import log
from random import Random
from statistics import fmean, stdev

from sizing.doctor import spreads
from sizing.dogs import Field
from tests.benchmarks.doctor.dogs import KNOWLEDGE, Drawn, Lengths, World


def _told(drawn: Drawn, knowledge: str, field: Field) -> float:
    """ln of a length, less what the told weight explains."""
    growth = spreads.EXPONENTS[field].value if "weight" in knowledge else 0.0
    return log(drawn.lengths[field]) - growth * log(drawn.kg)


class Natural:
    """What the natural spread allows: 99 % of the world's dogs that answer to what is told."""

    def __init__(self, world: World, seed: int, each: int = 150) -> None:
        rng = Random(seed)  # noqa: S311 - drawn dogs, no secrets
        dogs = [world.draw(rng, breed) for breed in world.breeds for _ in range(each)]
        self._bands: dict[tuple[str, str, Field], tuple[float, float]] = {}
        for knowledge in KNOWLEDGE:
            for field in Field:
                groups: dict[str, list[float]] = {}
                for dog in dogs:
                    name = dog.breed.name if knowledge.startswith("breed") else ""
                    groups.setdefault(name, []).append(_told(dog, knowledge, field))
                for name, values in groups.items():
                    half = 2.576 * stdev(values)
                    middle = fmean(values)
                    self._bands[knowledge, name, field] = (middle - half, middle + half)

    def allows(self, dog: Drawn, lengths: Lengths, field: Field, knowledge: str) -> bool:
        """Whether a number lies within 99 % of such dogs."""
        name = dog.breed.name if knowledge.startswith("breed") else ""
        low, high = self._bands[knowledge, name, field]
        return low <= _told(replace(dog, lengths=lengths), knowledge, field) <= high

    def crossed(self, dog: Drawn, true: Lengths, written: Lengths, knowledge: str) -> bool:
        """Whether the slip carries a number from within the band to beyond it."""
        return any(
            self.allows(dog, true, field, knowledge)
            and not self.allows(dog, written, field, knowledge)
            for field in true
            if written[field] != true[field]
        )
