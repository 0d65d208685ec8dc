"""How long a plan takes, and whether many plans keep memory.

    python3 -m tests.benchmarks.plan [plans for the memory, 100000]

Run by hand on an idle machine: no test times anything. It prints the median and the slowest
twentieth of a whole plan for dogs from a toy to the heaviest of the breed table, each in every
weight class that its hood may be made in, then the memory in use while plans are made.

Milliseconds are those of the processor, so that other work on the machine counts less. Beside
each plan stand the candidate plans that the row search looked at, and how many times as long the
plan took as an empty loop over as many, in the same run, in turns with it: a floor for the search
alone, and a very low one. The first line is how long a fixed loop takes, so that milliseconds of
different machines can be compared.
"""

import resource
import sys
import time
from collections.abc import Callable, Iterator
from gc import collect
from itertools import cycle, product
from statistics import median, quantiles
from unittest.mock import patch

from sizing import search
from sizing.breeds import BREEDS
from sizing.dogs import Dog, Field, HeadType
from sizing.plan import Request, make_plan
from sizing.shaping import shaping_cost
from sizing.yarns import WeightClass
from tests.sizing.builders import request, yarn
from tests.sizing.strategies import of_weight

MIDDLE = dict.fromkeys(Field, 0.5)
ROUNDS = 60
OFTEN = 1000
HEAVIEST = 104.0
"""kg; the giant of the stated budget."""
SIZES = (2.0, 8.0, 14.0, 35.0, HEAVIEST)


def dog_of(kg: float, weight_class: WeightClass) -> Request:
    """A request for a dog in the middle of its bands, in a class's default gauge."""
    head = HeadType.MASTIFF if kg == HEAVIEST else HeadType.MEDIUM
    wool = yarn(weight_class=weight_class)
    return request(of_weight(kg, head, MIDDLE), dog=Dog(weight_kg=kg, head=head), wool=wool)


def times(work: Callable[[], object]) -> float:
    """Return the milliseconds of the processor that a piece of work takes."""
    begun = time.process_time()
    work()
    return (time.process_time() - begun) * 1000


def looked_at(one: Request) -> int:
    """Return how many candidate plans the row search works out the cost of."""
    with patch.object(search, "shaping_cost", wraps=shaping_cost) as counted:
        make_plan(one)
    return counted.call_count


def empty(candidates: int) -> None:
    """Loop over candidates, `OFTEN` times: once is too short for a clock."""
    for _ in range(OFTEN):
        for _ in range(candidates):
            pass


def fixed() -> int:
    """A loop that is the same on every machine: squares of 100,000 numbers, added up."""
    total = 0
    for number in range(100_000):
        total += number * number
    return total


def speed() -> None:
    print(f"a fixed loop: {median(times(fixed) for _ in range(ROUNDS)):.2f} ms\n")
    print(
        f"{'kg':>5}  {'class':<12} {'hood':>9}  {'median ms':>9}  {'95 % ms':>7}  {'least':>6}"
        f"  {'candidates':>10}  {'loop us':>7}  {'ratio':>6}"
    )
    for kg, weight_class in product(SIZES, WeightClass):
        one = dog_of(kg, weight_class)
        rows, candidates = make_plan(one).rows, looked_at(one)
        taken, floor = [], []
        for _ in range(ROUNDS):
            taken.append(times(lambda one=one: make_plan(one)))  # type: ignore[misc]
            floor.append(times(lambda n=candidates: empty(n)) / OFTEN)  # type: ignore[misc]
        size, name = f"{rows.hood_stitches}x{rows.hood_rows}", weight_class.name.lower()
        slow, ratio = quantiles(taken, n=20)[-1], median(taken) / median(floor)
        print(
            f"{kg:5g}  {name:<12} {size:>9}  {median(taken):9.2f}  {slow:7.2f}  {min(taken):6.2f}"
            f"  {candidates:10}  {1000 * median(floor):7.2f}  {ratio:6.0f}"
        )


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
