"""Tickets of hoods with variants: every row stands on them, with its box and its count."""

from dataclasses import replace

import pytest

from documents.page import Label
from documents.ticket_rows import Item, Pair, Step, Strip, in_colour
from documents.ticket_sections import rest_sections, sections_of
from documents.ticket_short import short_text
from documents.ticket_view import ticket_view
from documents.work_ticket import FEWEST_PAGES, MOST_PAGES, pages_of
from sizing.addons import SAFETY, AddOn, Shape, sized
from sizing.dogs import Dog, HeadType, Risk
from sizing.errors import ValueOutOfRangeError
from sizing.pattern import pattern_of
from sizing.rows import ADD_ONS, SEAMS, PartName, Pattern
from sizing.style import Hand
from sizing.units import LengthUnit, show_length
from sizing.variants import EdgingStitch, Stripe, Stripes
from sizing.wishes import Wishes, make_of
from sizing.wording import Terms, row_text
from sizing.yarns import WeightClass
from tests.documents.samples import MOORLAND, ORDERS, Order, order, ticket, words_of

WISHES = {
    "buttoned": Wishes(buttoned=True),
    "ears": Wishes(ear_base_mm=40, ear_from_centre_mm=60),
    "edged": Wishes(edging=EdgingStitch.SC),
    "striped": Wishes(
        stripes=Stripes(
            (Stripe("cream", 6), Stripe("rust", 2)), (Stripe("cream", 2), Stripe("rust", 2))
        ),
        edging=EdgingStitch.SL_ST,
    ),
    "horned": Wishes(
        add_ons=(
            AddOn(Shape.CONE, 60, 120, colour="gold"), AddOn(Shape.DISC, 90),
            AddOn(Shape.TUBE, 40, 120), AddOn(Shape.LEAF, 70, 110, copies=2),
        )
    ),
}  # fmt: skip


def order_of(name: str) -> Order:
    job, plan = ORDERS["medium"]()
    make = make_of(WISHES[name], plan.rows, plan.gauge)
    return job, replace(plan, pattern=pattern_of(plan.rows, make))


def rows_in(item: Item) -> list[tuple[int, str]]:
    """The rows that an item stands for, each with its sentence."""
    if isinstance(item, Strip):
        return [(row, item.sentence(row)) for row in range(item.first, item.last + 1)]
    steps = [item] if isinstance(item, Step) else []
    if isinstance(item, Pair):
        steps = [item.first, item.second]
    return [(step.row, step.text) for step in steps]


@pytest.mark.parametrize("hand", Hand)
def test_a_strip_is_held_on_the_side_of_the_hand_that_holds_the_hook(hand: Hand) -> None:
    """Held the other way round, the hood would be picked up along the lower edge."""
    job, plan = order_of("buttoned")
    said = words_of(ticket((replace(job, hand=hand), plan)))
    left = sections_of(plan, job.terms, hand, LengthUnit.CM, "H-1")
    rest = rest_sections(Pattern(plan.pattern.parts[1:]), job.terms, hand, 0)

    for opening in (said, left[1].opening, rest[0].opening):
        assert f"with the foundation chain at your {hand}" in " ".join(opening.split())


@pytest.mark.parametrize("unit", LengthUnit)
def test_the_size_that_a_shape_will_have_stands_before_its_first_row(unit: LengthUnit) -> None:
    job, plan = order_of("horned")
    sections = sections_of(plan, job.terms, job.hand, unit, "H-1")
    shapes = [
        (part, section)
        for part, section in zip(plan.pattern.parts, sections, strict=False)
        if part.part in ADD_ONS
    ]

    assert len(shapes) == 4
    for part, section in shapes:
        size = sized(part, plan.gauge)
        across, long = (show_length(mm, unit) for mm in (size.across_mm, size.long_mm))
        said = section.opening.partition(" It measures ")[2]
        assert said.startswith(across)
        assert (f" and {long}" in said) is (part.part is not PartName.DISC)


@pytest.mark.parametrize("name", list(WISHES))
def test_every_row_of_a_variant_is_on_its_ticket_once(name: str) -> None:
    job, plan = order_of(name)
    sections = sections_of(plan, job.terms, job.hand, LengthUnit.CM, "H-1")
    found = [
        (part.part, *told)
        for part, section in zip(plan.pattern.parts, sections, strict=False)
        for item in section.items
        for told in rows_in(item)
    ]

    assert found == [
        (part.part, row.row, row_text(part.part, row, job.terms).partition(" (")[0])
        for part in plan.pattern.parts
        for row in part.rows
    ]


@pytest.mark.parametrize("name", list(WISHES))
def test_the_ticket_of_a_variant_prints_every_sentence_that_is_not_plain(name: str) -> None:
    job, plan = order_of(name)
    text = words_of(ticket((job, plan)))

    for part in plan.pattern.parts:
        for row in part.rows:
            sentence = row_text(part.part, row, job.terms).partition(" (")[0]
            if part.part not in SEAMS and len(row.operations) > 1:
                plain = sentence.removeprefix(in_colour(row.colour))
                assert sentence in text or short_text(plain) in text, sentence
    assert (SAFETY[0] in text) == (name == "horned")
    assert ("Sew 2 buttons" in text or "Sew 3 buttons" in text) == (name == "buttoned")
    assert ("increase: 2 " in text) == (name == "horned")
    assert job.terms in Terms


def test_ends_to_weave_in_are_counted_for_each_colour() -> None:
    job, plan = order_of("striped")
    finishing = next(
        section
        for section in sections_of(plan, job.terms, job.hand, LengthUnit.CM, "H-1")
        if section.title == "Finishing"
    )

    assert "Weave in all 4 ends" not in str(finishing.items[0])


def long_job(made: Order) -> Order:
    """Return an order with the longest names and notes that the papers take."""
    long = "Wilhelmina-Anastasia von und zu Hohenfels-Langenburg " * 3
    job, plan = made
    notes = "\n".join(["A note that runs on for quite a while, with details and wishes."] * 20)
    yarn = replace(job.yarn, name=long, lot=long)
    return replace(job, dog=long, buyer=long, breed=long, notes=notes, yarn=yarn), plan


ROOM = Label("", "", "", 9).room
LARGEST = (200.0, 760.0, 260.0, 900.0)
ONE_ROW = Stripes(
    (Stripe("cream", 1), Stripe("rust", 1)), (Stripe("cream", 1), Stripe("rust", 1)), "gold"
)
RANGE = {
    **WISHES,
    "plain": Wishes(),
    "one row stripes": Wishes(stripes=ONE_ROW, edging=EdgingStitch.SL_ST, buttoned=True),
}


@pytest.mark.parametrize("weight", [WeightClass.BULKY, WeightClass.MEDIUM, WeightClass.LACE])
@pytest.mark.parametrize("name", list(RANGE))
def test_the_largest_dog_takes_four_pages_at_most(name: str, weight: WeightClass) -> None:
    """In any yarn, with each variant, all risks, the longest names and notes, and a swatch."""
    dog = Dog(None, 104.0, HeadType.MASTIFF, risks=frozenset(Risk))
    job, plan = order(dog, LARGEST, yarn=replace(MOORLAND, weight_class=weight))
    made = (
        job,
        replace(plan, pattern=pattern_of(plan.rows, make_of(RANGE[name], plan.rows, plan.gauge))),
    )
    view = ticket_view(*long_job(made))

    assert view.swatch
    assert len(pages_of(view, ROOM)) <= MOST_PAGES


@pytest.mark.parametrize("name", ["toy", "medium", "untested"])
def test_an_ordinary_dog_takes_one_sheet_front_and_back(name: str) -> None:
    assert len(pages_of(ticket_view(*ORDERS[name]()), ROOM)) == FEWEST_PAGES


def test_short_rows_of_all_variants_can_be_told_apart() -> None:
    """No two sentences become the same short one, so nothing is lost by it."""
    known: dict[tuple[Terms, str], str] = {}
    for made in (ORDERS["medium"](), ORDERS["giant"]()):
        for wishes in RANGE.values():
            try:
                make = make_of(wishes, made[1].rows, made[1].gauge)
            except ValueOutOfRangeError:
                continue  # an ear opening that this hood has no room for
            for part in pattern_of(made[1].rows, make).parts:
                for row in part.rows:
                    for terms in Terms:
                        said = row_text(part.part, row, terms).partition(" (")[0]
                        assert known.setdefault((terms, short_text(said)), said) == said
    assert len(known) > 300


def test_short_rows_keep_their_counts() -> None:
    sentence = "1 sc in each of next 23 sts, 4 dec over the next 8 sts, 1 sc in next st."
    assert short_text(sentence) == "sc in 23, 4 dec, sc in 1"
    said = "In rust: [1 dc in the back loop of each of next 2 sts, 1 dc in next ch] 3 times."
    assert short_text(said) == "In rust: [dc in the back loop in 2, dc in 1 ch] 3 times"


def test_a_striped_strip_tells_the_colour_of_each_row_by_a_letter() -> None:
    job, plan = order_of("striped")
    collar = sections_of(plan, job.terms, job.hand, LengthUnit.CM, "H-1")[0]
    strip = next(item for item in collar.items if isinstance(item, Strip))
    rows = plan.pattern.part(PartName.COLLAR).rows

    assert strip.colours == tuple(row.colour for row in rows[strip.first - 1 : strip.last])
    assert strip.signs == {"cream": "A", "rust": "B"}
    text = words_of(ticket((job, plan)))
    assert "The letter in the box is the colour: A cream, B rust." in text
    assert f"{strip.first} A {strip.first + 1} A" in text
