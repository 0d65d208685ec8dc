"""How often the measurement doctor is right.

    python3 -m tests.benchmarks.doctor [dogs for each slip, 200] [true dogs, 10000]

It draws dogs from several worlds, spoils their numbers in each known way, and prints the tables
of docs/doctor.md. The seeds are fixed, so the tables come out the same.
"""

import sys
from collections import defaultdict
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor

from sizing.doctor import Kind
from tests.benchmarks.doctor.cases import cases
from tests.benchmarks.doctor.count import Count, count, true_dogs
from tests.benchmarks.doctor.dogs import KNOWLEDGE, worlds
from tests.benchmarks.doctor.frontier import HEADINGS, Trusts
from tests.benchmarks.doctor.frontier import row as frontier_row
from tests.benchmarks.doctor.natural import Natural

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
        sys.stdout.flush()


if __name__ == "__main__":
    main()
