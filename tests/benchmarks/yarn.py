"""How often the yarn intervals hold, how the two ways agree, and how long a price takes.

    python3 -m tests.benchmarks.yarn

It prints the tables of docs/yarn-and-price.md. The seeds are fixed; the times are this machine's.
"""

import sys
from timeit import repeat

from sizing.consumption import added, amount_of, by_part
from sizing.gauge import default_gauge
from sizing.labour import labour_of
from sizing.lognormal import USUAL_Z, WIDE_Z, quantile_of
from sizing.material import yarn_need
from sizing.pieces import pieces_of
from sizing.plan import make_plan
from sizing.price import Price, price_of
from sizing.strand import mm_per_mm2, sc_mm
from sizing.yarns import WeightClass
from tests.sizing import test_yarn_coverage as drawn
from tests.sizing.builders import request, yarn

METRES = {
    WeightClass.FINE: 350,
    WeightClass.LIGHT: 270,
    WeightClass.MEDIUM: 181,
    WeightClass.BULKY: 115,
    WeightClass.SUPER_BULKY: 70,
    WeightClass.JUMBO: 35,
}
SURE_Z = quantile_of(0.90)


def say(line: str) -> None:
    sys.stdout.write(line + "\n")


def coverage() -> None:
    say("| hood | what is known | 80 % | 95 % | balls bought at 95 % |")
    hoods = {"hood": drawn.HOOD, "toy, many ends": drawn.TOY, "striped": drawn.STRIPED}
    for label, pieces in hoods.items():
        strands = added(by_part(pieces, drawn.GAUGE, sc_mm(drawn.GAUGE, yarn())).values())
        for known, belief in drawn.BELIEFS.items():
            found = amount_of(strands, belief)
            made = drawn.drawn(strands, belief, 11)
            usual = drawn.inside(made, found.at(-USUAL_Z), found.at(USUAL_Z))
            wide = drawn.inside(made, found.at(-WIDE_Z), found.at(WIDE_Z))
            enough = drawn.inside(made, 0, found.at(SURE_Z))
            say(f"| {label} | {known} | {usual:.1%} | {wide:.1%} | {enough:.1%} |")
    for hoods_made in (0, 4):
        cases = list(drawn.cases(hoods=hoods_made, makers=20_000))
        usual = sum(said.metres.low <= m <= said.metres.high for m, said in cases) / len(cases)
        wide = sum(
            said.metres_95.low <= m <= said.metres_95.high
            for m, said in cases
            if said.metres_95 is not None
        ) / len(cases)
        say(f"| from swatch to hood | {hoods_made} hoods before | {usual:.1%} | {wide:.1%} |  |")


def two_ways() -> None:
    say("| class | m in 100 g | mm in an sc | cm on a cm2, by stitch | by area |")
    for weight_class, metres in METRES.items():
        ball = yarn(weight_class=weight_class, metres=metres, grams=100)
        gauge = default_gauge(ball)
        each, _ = sc_mm(gauge, ball)
        by_stitch = each / (gauge.stitch_mm * gauge.row_mm) * 10
        by_area = mm_per_mm2(ball) * 10
        name = weight_class.name.lower().replace("_", " ")
        say(f"| {name} | {metres} | {each:.0f} | {by_stitch:.1f} | {by_area:.1f} |")


def speed() -> None:
    order = request()
    plan = make_plan(order)

    def all_three() -> Price:
        pieces = pieces_of(plan.pattern)
        need = yarn_need(plan.made, order.yarn, plan.gauge, None, pieces=pieces)
        labour = labour_of(plan.made, plan.gauge, order.rates, pieces=pieces)
        return price_of(need, order.yarn, labour, order.rates)

    runs = 2000
    best = min(repeat(all_three, number=runs, repeat=5)) / runs
    say(f"pieces, yarn, labour and price: {best * 1e3:.3f} ms")


if __name__ == "__main__":
    coverage()
    two_ways()
    speed()
