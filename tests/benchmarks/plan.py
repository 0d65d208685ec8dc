"""How long a plan takes, and whether many plans keep memory.

    python3 -m tests.benchmarks.plan [plans for the memory, 100000]

Run by hand on an idle machine: no test times anything. It prints the median and the slowest
twentieth of a whole plan for dogs from a toy to the heaviest of the breed table, each in every
weight class that its hood may be made in, then the memory in use while plans are made.
"""

import resource
import sys
import time
from collections.abc import Callable, Iterator
from gc import collect
from itertools import cycle, product
from statistics import median, quantiles

from sizing.breeds import BREEDS
from sizing.dogs import Dog, Field, HeadType
from sizing.plan import Request, make_plan
from sizing.yarns import WeightClass
from tests.sizing.builders import request, yarn
from tests.sizing.strategies import of_weight

MIDDLE = dict.fromkeys(Field, 0.5)
ROUNDS = 60
HEAVIEST = 104.0
"""kg; the giant of the stated budget."""
SIZES = (2.0, 8.0, 14.0, 35.0, HEAVIEST)


def dog_of(kg: float, weight_class: WeightClass) -> Request:
    """A request for a dog in the middle of its bands, in a class's default gauge."""
    head = HeadType.MASTIFF if kg == HEAVIEST else HeadType.MEDIUM
    wool = yarn(weight_class=weight_class)
    return request(of_weight(kg, head, MIDDLE), dog=Dog(weight_kg=kg, head=head), wool=wool)


def times(work: Callable[[], object], rounds: int = ROUNDS) -> list[float]:
    """Milliseconds of each round, after one that is not counted."""
    work()
    taken = []
    for _ in range(rounds):
        begun = time.perf_counter()
        work()
        taken.append((time.perf_counter() - begun) * 1000)
    return taken


def speed() -> None:
    print(f"{'kg':>5}  {'class':<12} {'hood':>9}  {'median ms':>9}  {'95 % ms':>7}")
    for kg in SIZES:
        for weight_class in WeightClass:
            one = dog_of(kg, weight_class)
            rows = make_plan(one).rows
            taken = times(lambda one=one: make_plan(one))  # type: ignore[misc]
            size = f"{rows.hood_stitches}x{rows.hood_rows}"
            slow = quantiles(taken, n=20)[-1]
            name = weight_class.name.lower()
            print(f"{kg:5g}  {name:<12} {size:>9}  {median(taken):9.2f}  {slow:7.2f}")


def many() -> Iterator[Request]:
    """Requests over the breed table, for ever."""
    classes = (WeightClass.LIGHT, WeightClass.MEDIUM, WeightClass.BULKY)
    for breed, weight_class in cycle(product(BREEDS, classes)):
        low, high = breed.weight_kg
        kg = (low * high) ** 0.5
        dog = Dog(breed=breed.name, weight_kg=kg, head=breed.head)
        wool = yarn(weight_class=weight_class)
        yield request(of_weight(kg, breed.head, MIDDLE), dog=dog, wool=wool)


def memory(plans: int) -> None:
    """Make plans and let them go; print what stays."""
    source = many()
    for _ in range(len(BREEDS) * 3):  # fill what is looked up once
        make_plan(next(source))
    print(f"\n{'plans':>7}  {'blocks kept':>11}  {'most resident, MiB':>18}  {'s':>5}")
    begun, step = time.perf_counter(), max(1, plans // 10)
    for made in range(plans + 1):
        if made % step == 0:
            collect()
            blocks = sys.getallocatedblocks()
            most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
            print(f"{made:>7}  {blocks:>11}  {most:18.1f}  {time.perf_counter() - begun:5.0f}")
        make_plan(next(source))


if __name__ == "__main__":
    speed()
    memory(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
