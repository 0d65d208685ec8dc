"""What a doctor could reach that knows its world.

    python3 -m tests.benchmarks.doctor.knowing [dogs for each slip, 200] [true dogs, 10000]

It prints the table of the oracles in docs/doctor.md. The seeds are fixed.
"""

import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from itertools import islice

from tests.benchmarks.doctor import oracle
from tests.benchmarks.doctor.dogs import KNOWLEDGE, worlds


def _known(which: tuple[int, str, int, int]) -> oracle.Shares:
    number, knowledge, each, true = which
    return oracle.best(oracle.known(list(worlds())[number], knowledge, each, true))


def table(each: int, true: int) -> Iterator[str]:
    """Yield the lines of the table; where orders have taught there is no more to know."""
    names = [world.name for world in worlds() if world.taught is None]
    asked = [(number, what, each, true) for what in KNOWLEDGE for number in range(len(names))]
    spreads = range(len(oracle.SPREADS))
    strange = [(place, what, each, true) for what in KNOWLEDGE for place in spreads]
    with ProcessPoolExecutor() as pool:
        known = pool.map(_known, asked)
        seen = pool.map(oracle.strangers, strange)
        yield f"\n{oracle.HEADINGS}"
        for what in KNOWLEDGE:
            whole, strangers = list(islice(known, len(names))), list(islice(seen, len(spreads)))
            yield from oracle.rows(names, what, whole, strangers)


def main() -> None:
    each, true = (int(text) for text in (sys.argv[1:] + ["200", "10000"][len(sys.argv) - 1 :]))
    for line in table(each, true):
        sys.stdout.write(f"{line}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
