"""Thousands of drawn dogs, gauges and yarns against the oracle of row plans.

    python3 -m tests.benchmarks.oracle [dogs, 3000]

Run by hand: the oracle leaves nothing out, so a large dog takes seconds. It prints how many plans
were as good as the oracle's, which won as common practice, how far the dimensions miss in rows
and stitches, and the first faults if there are any. The seed is fixed.
"""

import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from math import hypot
from random import Random
from statistics import median

from sizing.dogs import Field, HeadType, Measurements
from sizing.fit import Dimensions, reduction, target
from sizing.gauge import Gauge, default_gauge
from sizing.search import choose
from sizing.shape import finished
from sizing.stretch import by_fibre
from sizing.yarns import WeightClass
from tests.sizing import oracle
from tests.sizing.builders import ACRYLIC, COTTON_BLEND, yarn
from tests.sizing.strategies import of_weight

THICK = (WeightClass.FINE, WeightClass.LIGHT, WeightClass.MEDIUM, WeightClass.BULKY,
         WeightClass.SUPER_BULKY, WeightClass.JUMBO)  # fmt: skip


@dataclass(frozen=True)
class Held:
    """What came of one dog; it has room if its nape ends well below the brow."""

    room: bool
    faults: tuple[str, ...]
    kind: str
    misses: dict[str, float]


def drawn(number: int) -> tuple[Measurements, Dimensions, Gauge]:
    """A dog from 1.5 to 104 kg, its target and the gauge of a class or a hand of its own."""
    dice = Random(f"hood {number}")  # noqa: S311 (no secret)
    kg = dice.uniform(1.5 ** (1 / 3), 104 ** (1 / 3)) ** 3
    body = of_weight(kg, dice.choice(list(HeadType)), {field: dice.random() for field in Field})
    # A fine yarn on a large dog would keep the oracle busy for minutes.
    classes = THICK if kg < 12 else THICK[2:]
    wool = yarn(dice.choice([ACRYLIC, COTTON_BLEND]), dice.choice(classes))
    gauge = default_gauge(wool)
    if dice.random() < 0.6:
        wide = gauge.plain_stitches * dice.uniform(0.85, 1.15)
        rib, rows, ribbed = (
            dice.uniform(0.85, 1.15),
            dice.uniform(0.95, 1.3),
            dice.gauss(1.15, 0.2),
        )
        gauge = Gauge(wide * rib, wide * max(0.6, ribbed), wide, wide * rows, tested=True)
    aim = target(body, reduction(by_fibre(wool), frozenset()))
    if dice.random() < 0.3:
        usual = finished(choose(aim, gauge, body.neck_girth), gauge).crown or 0.0
        aim = replace(aim, crown=usual * dice.uniform(0.85, 1.15))
    return body, aim, gauge


def held(number: int) -> Held:
    """Plan a hood and hold it against the oracle."""
    body, aim, gauge = drawn(number)
    plan = choose(aim, gauge, body.neck_girth)
    made = finished(plan, gauge)
    misses = {
        "collar girth": (made.collar_girth - aim.collar_girth) / gauge.rib_row_mm,
        "collar height": (made.collar_height - aim.collar_height) / gauge.rib_stitch_mm,
        "front edge": (made.face_opening - aim.face_opening) / 2 / gauge.row_mm,
        "nape": (made.nape - aim.nape) / hypot(gauge.row_mm, gauge.stitch_mm / 2),
    }
    if aim.crown is not None and made.crown is not None:
        misses["crown, where measured"] = (made.crown - aim.crown) / gauge.row_mm
    nape_rows = len(range(3, plan.crown_row, 2))
    full = plan.pairs[:nape_rows] == (1,) * nape_rows
    kind = "all nape rows decrease" if full else "nape spread"
    if plan.pickup:
        kind += ", row ends doubled" if plan.pickup > plan.collar_rows else ", row ends skipped"
    faults = oracle.faults(plan, aim, gauge, body.neck_girth)
    room = aim.nape <= aim.face_opening / 2 - 4 * gauge.row_mm
    return Held(room, tuple(faults), kind, {name: abs(miss) for name, miss in misses.items()})


def main(dogs: int) -> None:
    with ProcessPoolExecutor() as pool:
        found = list(pool.map(held, range(dogs), chunksize=10))
    print(f"{dogs} dogs; better plans known to the oracle: {sum(bool(f.faults) for f in found)}")
    for number, one in enumerate(found):
        if one.faults and number < 100:
            print(number, *one.faults)
    for kind, times in Counter(one.kind for one in found).most_common():
        print(f"{times:6}  {kind}")
    for room in (True, False):
        some = [one for one in found if one.room is room]
        print(f"\n{len(some)} dogs: nape ends {'' if room else 'less than '}4 rows below the brow")
        print(f"{'miss, in rows or stitches':<26}{'median':>8}{'95 %':>8}{'worst':>8}")
        for name in dict.fromkeys(name for one in some for name in one.misses):
            all_of = sorted(one.misses[name] for one in some if name in one.misses)
            late = all_of[int(0.95 * len(all_of))]
            print(f"{name:<26}{median(all_of):8.2f}{late:8.2f}{all_of[-1]:8.2f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3000)
