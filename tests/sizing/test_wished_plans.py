"""Plans of hoods with variants: every stitch counted, timed, bought and paid for."""

from collections import Counter
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.addons import AddOn, Shape
from sizing.dogs import Dog, HeadType, Risk
from sizing.errors import ValueOutOfRangeError
from sizing.gauge import Swatch
from sizing.labour import SEAMS
from sizing.machine import replay
from sizing.pieces import pieces_of
from sizing.plan import Plan, Request, make_plan
from sizing.rates import FixedMinutes, Rates
from sizing.replan import InHand, Verdict, replan
from sizing.rows import Op, PartName
from sizing.stock import usual_dog
from sizing.style import Style, Turning
from sizing.variants import EdgingStitch, Stripe, Stripes
from sizing.wishes import Wishes
from sizing.yarns import WeightClass
from tests.sizing.builders import request, yarn

SWATCH = Swatch(13, 14.5, 12.5, 14.5, 5.0)
STRIPED = Stripes((Stripe("cream", 6), Stripe("rust", 2)), (Stripe("cream", 2), Stripe("rust", 2)))
HORN = AddOn(Shape.CONE, 60, 120, copies=2, colour="gold")
WISHES = {
    "plain": Wishes(),
    "buttoned": Wishes(buttoned=True),
    "eared": Wishes(ear_base_mm=40, ear_from_centre_mm=60),
    "edged": Wishes(edging=EdgingStitch.SC),
    "striped": Wishes(stripes=STRIPED, edging=EdgingStitch.SL_ST),
    "horned": Wishes(add_ons=(HORN,)),
    "turned": Wishes(style=Style(turning=Turning.ONE)),
    "all": Wishes(
        buttoned=True, ear_base_mm=40, ear_from_centre_mm=60, stripes=STRIPED,
        edging=EdgingStitch.SC, add_ons=(HORN, AddOn(Shape.LEAF, 70, 110, copies=2)),
    ),
}  # fmt: skip


def wished(name: str, **changes: object) -> Plan:
    return make_plan(replace(request(swatch=SWATCH), wishes=WISHES[name], **changes))  # type: ignore[arg-type]


@pytest.mark.parametrize("name", list(WISHES))
def test_what_is_counted_for_yarn_and_time_is_what_the_machine_made(name: str) -> None:
    plan = wished(name)
    counted: Counter[object] = Counter()
    for piece in pieces_of(plan.pattern):
        counted.update(dict(piece.counts))
    made = Counter(dict(replay(plan.pattern).made))

    assert {op: n for op, n in counted.items() if n} == {op: n for op, n in made.items() if n}
    assert plan.made == replay(plan.pattern)


@pytest.mark.parametrize("name", list(WISHES))
def test_a_variant_takes_no_less_yarn_time_and_money_than_the_plain_hood(name: str) -> None:
    plain, plan = wished("plain"), wished(name)

    assert plan.yarn.metres.likely >= plain.yarn.metres.likely * 0.97  # an opening saves stitches
    assert plan.labour.minutes >= plain.labour.minutes * 0.97
    assert plan.finished.nape == plain.finished.nape
    if name in {"striped", "horned", "all"}:
        colours = {need.colour for need in plan.yarn.colours}
        parts = {part.colour for part in plan.pattern.parts[0].rows}
        assert parts <= colours
        assert len(colours) >= 2
        grams = sum(need.grams.likely for need in plan.yarn.colours)
        assert grams == pytest.approx(plan.yarn.grams.likely, rel=0.02)


def test_a_striped_hood_s_swatch_needs_no_ball_of_its_own() -> None:
    """It is worked in the colour that the hood begins with: nobody buys a colour for it."""
    counted = wished("striped")
    untested = make_plan(replace(request(), wishes=WISHES["striped"]))
    before, after = (
        {need.colour: need.metres.likely for need in plan.yarn.colours}
        for plan in (counted, untested)
    )

    assert set(after) == set(before) == {"cream", "rust"}
    (swatch,) = (part for part in untested.yarn.parts if part.part == "swatch")
    assert swatch.colour == "cream"


def test_balls_of_several_colours_are_told_colour_by_colour() -> None:
    need = make_plan(replace(request(), wishes=WISHES["all"])).yarn
    colours = len(need.colours)

    assert colours == 3
    assert colours <= need.balls_low <= need.balls_likely <= need.balls_to_buy
    assert "each colour of one dye lot" in need.advice
    assert "Should a colour run short" in need.advice


def test_each_of_two_copies_is_bought_and_worked() -> None:
    one = make_plan(
        replace(request(swatch=SWATCH), wishes=Wishes(add_ons=(replace(HORN, copies=1),)))
    )
    two = wished("horned")

    def metres(plan: Plan) -> float:
        return sum(part.metres.likely for part in plan.yarn.parts if part.part == "cone")

    def minutes(plan: Plan) -> float:
        return sum(task.minutes for task in plan.labour.tasks if task.name == "cone")

    assert metres(two) == pytest.approx(2 * metres(one), rel=0.03)
    assert minutes(two) == pytest.approx(2 * minutes(one))
    assert SEAMS in {task.name for task in two.labour.tasks}


def test_a_turning_chain_costs_a_chain_for_each_turn() -> None:
    plain, turned = wished("plain"), wished("turned")
    turns = sum(len(part.rows) - 1 for part in plain.pattern.parts if len(part.rows) > 1)

    assert turned.made.chains - plain.made.chains == turns
    assert turned.yarn.metres.likely > plain.yarn.metres.likely
    counted = sum(piece.chains for piece in pieces_of(turned.pattern))
    assert counted - sum(piece.chains for piece in pieces_of(plain.pattern)) == turns


def test_buttons_are_sewn_on_and_paid_for() -> None:
    rates = Rates(button_cost=Decimal("0.75"), minutes=FixedMinutes(per_button=6))
    plan, plain = wished("buttoned", rates=rates), wished("plain", rates=rates)
    buttons = plan.make.buttons

    assert buttons >= 1
    sewn = next(task for task in plan.labour.tasks if task.name == "buttons")
    assert sewn.minutes == buttons * 6
    assert "buttons" in {line.name for line in plan.price.lines}
    assert "buttons" not in {line.name for line in plain.price.lines}
    assert sum(line.amount for line in plan.price.lines) == plan.price.total
    assert plan.checkpoints[1].name == "collar strip before the overlap"


def big_headed(wishes: Wishes) -> Request:
    """A dog whose head the usual collar does not pass."""
    order = request(swatch=SWATCH)
    body = replace(order.measurements, head_girth=order.measurements.neck_girth * 1.5)
    return replace(order, measurements=body, wishes=wishes)


def test_a_collar_made_looser_or_opening_goes_over_a_large_head() -> None:
    stuck = make_plan(big_headed(Wishes())).fit
    looser = make_plan(big_headed(Wishes(looser=True)))
    opening = make_plan(big_headed(Wishes(buttoned=True))).fit

    assert stuck
    assert stuck.passage.looser
    assert not stuck.passage.passes
    assert looser.fit
    assert looser.fit.passage.passes
    assert looser.rows.collar_rows == stuck.passage.looser.collar_rows
    assert opening
    assert opening.passage.passes
    assert opening.surety.passes == 1
    assert {one.about for one in opening.cautions}.isdisjoint({"head"})


@pytest.mark.parametrize("of_class", WeightClass)
@pytest.mark.parametrize("kg", [1.5, 4, 14, 104])
def test_the_buttons_that_are_offered_are_those_that_are_made(
    of_class: WeightClass, kg: float
) -> None:
    """In every yarn: rows of the overlap and buttonholes, counted in the pattern."""
    body = usual_dog(kg, HeadType.MEDIUM).body
    body = replace(body, head_girth=1.5 * body.face_girth)
    order = replace(
        request(body, wool=replace(yarn(), weight_class=of_class)),
        dog=Dog(weight_kg=kg),
        accepted=frozenset({"head_girth"}),
    )
    stuck = make_plan(order)
    assert stuck.fit
    offered = stuck.fit.passage.buttoned
    asked = replace(order, wishes=Wishes(buttoned=True))
    if offered is None:
        with pytest.raises(ValueOutOfRangeError, match="no button is small enough"):
            make_plan(asked)
        return
    strip = make_plan(asked).pattern.part(PartName.COLLAR)
    holes = max(sum(o.op is Op.CH for o in row.operations) for row in strip.rows)
    more = len(strip.rows) - stuck.rows.collar_rows
    assert (offered.overlap_rows, offered.buttonholes) == (more, holes)


def test_a_dog_that_chews_is_offered_no_buttons() -> None:
    order = big_headed(Wishes())
    chewer = replace(order, dog=replace(order.dog, risks=frozenset({Risk.CHEWER})))
    for asked, offered in ((order, True), (chewer, False)):
        fit = make_plan(asked).fit
        assert fit
        (said,) = (one.message for one in fit.cautions if one.about == "head")
        assert (fit.passage.buttoned is not None) is offered
        assert ("buttonhole" in said) is offered
        assert "Make it looser" in said


def test_a_looser_collar_is_what_is_aimed_at_while_it_is_worked_too() -> None:
    """On plan at every row: nothing is ripped back to the collar that does not pass the head."""
    plan = make_plan(big_headed(Wishes(looser=True)))
    rows, gauge = plan.rows, plan.gauge

    assert plan.target.collar_girth == pytest.approx(plan.finished.collar_girth)
    neck = big_headed(Wishes()).measurements.neck_girth
    assert plan.less.collar == pytest.approx(1 - plan.target.collar_girth / neck)
    for made in range(2, rows.collar_rows + 1, 2):
        stitches = rows.collar_stitches
        size = (stitches * gauge.rib_stitch_mm, made * gauge.rib_row_mm)
        piece = InHand(PartName.COLLAR, made, stitches, *size)
        again = replan(rows, gauge, plan.target, piece, plan.make)
        assert (again.verdict, again.changed) == (Verdict.CARRY_ON, False)


def test_a_collar_that_opens_is_not_made_looser_besides() -> None:
    both = make_plan(big_headed(Wishes(looser=True, buttoned=True)))
    assert both.rows == make_plan(big_headed(Wishes(buttoned=True))).rows


def test_a_collar_that_passes_is_not_made_looser() -> None:
    order = request(swatch=SWATCH)
    assert make_plan(replace(order, wishes=Wishes(looser=True))).rows == make_plan(order).rows


@pytest.mark.parametrize("wishes", [WISHES["buttoned"], WISHES["horned"]])
def test_a_dog_that_chews_gets_no_button_and_nothing_sewn_on(wishes: Wishes) -> None:
    order = request(swatch=SWATCH)
    chewer = replace(order.dog, risks=frozenset({Risk.CHEWER}))
    with pytest.raises(ValueOutOfRangeError, match="chews"):
        make_plan(replace(order, dog=chewer, wishes=wishes))


def test_an_uncoloured_shape_of_a_striped_hood_has_its_first_colour() -> None:
    wishes = Wishes(stripes=STRIPED, add_ons=(AddOn(Shape.DISC, 90),))
    plan = make_plan(replace(request(swatch=SWATCH), wishes=wishes))
    disc = next(part for part in plan.pattern.parts if part.part is PartName.DISC)

    assert {row.colour for row in disc.rows} == {"cream"}
    assert {need.colour for need in plan.yarn.colours} == {"cream", "rust"}


@given(st.sampled_from(sorted(WISHES)), st.sampled_from([0, 1]))
@settings(max_examples=30)
def test_the_price_of_every_variant_adds_up(name: str, turning: int) -> None:
    wishes = replace(WISHES[name], style=Style(turning=Turning(turning)))
    plan = make_plan(replace(request(swatch=SWATCH), wishes=wishes))

    assert sum(line.amount for line in plan.price.lines) == plan.price.total
