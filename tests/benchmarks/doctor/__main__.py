"""How often the measurement doctor is right.

    python3 -m tests.benchmarks.doctor [dogs for each slip, 200] [true dogs, 10000] [seed]

It draws dogs from several worlds, spoils their numbers in each known way, and prints the tables
of docs/doctor.md. The seeds are fixed, so the tables come out the same; with a seed of your own
they are of other dogs, and of strangers with other constants.
"""

import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor

from sizing.doctor import Kind
from tests.benchmarks.doctor.cases import cases
from tests.benchmarks.doctor.count import Count, count, true_dogs
from tests.benchmarks.doctor.dogs import KNOWLEDGE, worlds
from tests.benchmarks.doctor.frontier import HEADINGS, Trusts
from tests.benchmarks.doctor.frontier import row as frontier_row
from tests.benchmarks.doctor.natural import Natural

TOGETHER = "all that it was not built from"
Measured = tuple[float, float, dict[Kind, Count], Trusts]


def measure(which: tuple[int, str, int, int, int | None]) -> Measured:
    """Measure one world with one state of knowledge; the world by its number."""
    number, knowledge, each, true, seed = which
    world = list(worlds(seed))[number]
    natural = Natural(world, 1 if seed is None else seed)
    by_kind: dict[Kind, Count] = defaultdict(Count)
    seen = Trusts()
    for case in cases():
        by_kind[case.kind].add(count(world, natural, case, knowledge, each, seen))
    return (*true_dogs(world, knowledge, true, seen), by_kind, seen)


def share(part: int, whole: int) -> str:
    return f"{100 * part / whole:.1f}" if whole else "-"


def together(found: Sequence[Measured]) -> Measured:
    """Return several worlds, each with as many true dogs, as if they were one."""
    by_kind: dict[Kind, Count] = defaultdict(Count)
    seen = Trusts()
    for _, _, counts, trusts in found:
        for kind, one in counts.items():
            by_kind[kind].add(one)
        seen.true += trusts.true
        seen.slips += trusts.slips
    queried = sum(one[0] for one in found) / len(found)
    stopped = sum(one[1] for one in found) / len(found)
    return queried, stopped, by_kind, seen


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


def tables(each: int, true: int, seed: int | None = None) -> Iterator[str]:
    """Yield the lines of the overview, of the frontier, then of one table for each world."""
    names = [world.name for world in worlds()]
    new = [number for number, world in enumerate(worlds()) if world.new]
    asked = [
        (number, what, each, true, seed) for number in range(len(names)) for what in KNOWLEDGE
    ]
    with ProcessPoolExecutor() as pool:
        found = list(pool.map(measure, asked))
        size = len(KNOWLEDGE)
        joined = {
            what: together([found[number * size + place] for number in new])
            for place, what in enumerate(KNOWLEDGE)
        }
        joined["any of these"] = together(list(joined.values()))
        yield "| dogs | told | asked | stopped | beyond | flagged | first | named | of all |"
        yield "|---|---|---|---|---|---|---|---|---|"
        for (number, knowledge, *_), one in zip(asked, found, strict=True):
            yield overview(names[number], knowledge, one)
        for knowledge, one in joined.items():
            yield overview(TOGETHER, knowledge, one)
        yield f"\n{HEADINGS}"
        for (number, knowledge, *_), one in zip(asked, found, strict=True):
            yield frontier_row(names[number], knowledge, one[3])
        for knowledge, one in joined.items():
            yield frontier_row(TOGETHER, knowledge, one[3])
    for number, name in enumerate(names):
        yield f"\n### {name[0].upper()}{name[1:]}\n"
        yield from by_slip(found[number * size : (number + 1) * size])
    yield f"\n### {TOGETHER[0].upper()}{TOGETHER[1:]}\n"
    yield from by_slip([joined[what] for what in KNOWLEDGE])


def main() -> None:
    told = [int(text) for text in sys.argv[1:]]
    each, true, *seed = told + [200, 10000][len(told) :]
    for line in tables(each, true, *seed):
        sys.stdout.write(f"{line}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
