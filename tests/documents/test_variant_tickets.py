"""Tickets of hoods with variants: every row stands on them, with its box and its count."""

from dataclasses import replace

import pytest

from documents.ticket_rows import Item, Pair, Step, Strip
from documents.ticket_sections import sections_of
from sizing.addons import SAFETY, AddOn, Shape
from sizing.pattern import pattern_of
from sizing.rows import SEAMS
from sizing.units import LengthUnit
from sizing.variants import EdgingStitch, Stripe, Stripes
from sizing.wishes import Wishes, make_of
from sizing.wording import Terms, row_text
from tests.documents.samples import ORDERS, Order, ticket, words_of

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
        return [(row, item.text) for row in range(item.first, item.last + 1)]
    steps = [item] if isinstance(item, Step) else []
    if isinstance(item, Pair):
        steps = [item.first, item.second]
    return [(step.row, step.text) for step in steps]


@pytest.mark.parametrize("name", list(WISHES))
def test_every_row_of_a_variant_is_on_its_ticket_once(name: str) -> None:
    job, plan = order_of(name)
    sections = sections_of(plan, job.terms, LengthUnit.CM, "H-1")
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
                assert sentence in text, sentence
    assert (SAFETY[0] in text) == (name == "horned")
    assert ("Sew 2 buttons" in text or "Sew 3 buttons" in text) == (name == "buttoned")
    assert ("increase: 2 " in text) == (name == "horned")
    assert job.terms in Terms


def test_ends_to_weave_in_are_counted_for_each_colour() -> None:
    job, plan = order_of("striped")
    finishing = next(
        section
        for section in sections_of(plan, job.terms, LengthUnit.CM, "H-1")
        if section.title == "Finishing"
    )

    assert "Weave in all 4 ends" not in str(finishing.items[0])
