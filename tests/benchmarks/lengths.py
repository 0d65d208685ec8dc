"""A million lengths, right and wrong, read twice: by sizing.units and by a reader apart.

    python3 -m tests.benchmarks.lengths [inputs, 1000000]

It prints how many were read and refused, the longest that one input took, and every input that
was read as something else than the reader apart says. The seeds are fixed.
"""

import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from random import Random
from time import thread_time

from sizing.errors import NotationError
from sizing.units import LengthUnit, read_length
from tests.sizing.length_oracle import (
    FEET,
    INCHES,
    MM,
    Unclear,
    changed,
    length_of,
    sentence,
)

CHUNK = 5000


@dataclass
class Found:
    """What came of a chunk of inputs."""

    kinds: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    strict: list[str] = field(default_factory=list)
    slowest: tuple[float, str] = (0.0, "")


def tried(number: int, count: int = CHUNK) -> Found:
    """Read a chunk of inputs both ways."""
    dice, found = Random(f"lengths {number}"), Found()  # noqa: S311 - no secret
    for word in (*MM, *INCHES, *FEET):
        read_length(f"0.5 {word}", LengthUnit.CM)  # the units are loaded once, before the clock
    for _ in range(count):
        text = changed(sentence(dice), dice)
        unit = dice.choice(list(LengthUnit))
        began = thread_time()
        try:
            value: float | None = read_length(text, unit).value
        except NotationError:
            value = None
        found.slowest = max(found.slowest, (thread_time() - began, text))
        try:
            other: float | None = float(length_of(text, inches=unit is LengthUnit.INCH))
        except Unclear:
            other = None
        found.kinds["read" if value is not None else "refused"] += 1
        if value is not None and value != other:
            found.wrong.append(f"{text!r} in {unit}: {value}, not {other}")
        elif value is None and other is not None:
            found.kinds["refused, and clear to the reader apart"] += 1
            found.strict.append(text)
    return found


def main(inputs: int) -> int:
    """Try them all; return 1 if one was read wrongly."""
    with ProcessPoolExecutor() as pool:
        chunks = list(pool.map(tried, range(-(-inputs // CHUNK))))
    kinds = sum((one.kinds for one in chunks), Counter[str]())
    for kind, count in kinds.most_common():
        print(f"{count:9}  {kind}")
    wrong = [text for one in chunks for text in one.wrong]
    slowest, text = max(one.slowest for one in chunks)
    print(f"{len(wrong):9}  read as something else")
    print(f"the slowest took {slowest * 1000:.2f} ms of the processor: {text[:60]!r}")
    print("refused strictly, for example:", [one.strict[0] for one in chunks[:8] if one.strict])
    print(*wrong[:20], sep="\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000))
