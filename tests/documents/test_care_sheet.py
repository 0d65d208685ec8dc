"""The buyer's sheet: large, plain, complete, and about this dog."""

import re
from dataclasses import replace
from itertools import chain, combinations

import pytest

from documents import care_sheet
from documents import care_words as words
from documents.care_sheet import Edition
from documents.care_view import care_view
from documents.page import Paper
from sizing.dogs import Dog, Risk
from sizing.yarns import Fibre
from tests.documents.samples import (
    ORDERS,
    Order,
    care,
    giant,
    hostile,
    medium,
    order,
    plumb,
    read,
    toy,
    unprintable,
    words_of,
)

every_order = pytest.mark.parametrize("name", list(ORDERS))


def dog_with(*risks: Risk) -> Order:
    return order(Dog(weight_kg=18.0, risks=frozenset(risks)), (110, 380, 110, 480))


def dog_of(risks: tuple[Risk, ...]) -> Order:
    """Return the usual order for a dog with these risks and no other."""
    job, plan = medium()
    return job, replace(plan, profile=replace(plan.profile, risks=frozenset(risks)))


def pages_of(made: Order, edition: Edition = Edition.USUAL, *, more: bool = False) -> int:
    view = care_view(*made, buttoned=more, sewn_on=more)
    pdf = care_sheet.render(view, Paper.A4, edition)
    return len(read(pdf).pages)


@every_order
@pytest.mark.parametrize("edition", list(Edition))
def test_no_type_is_smaller_than_its_edition_promises(name: str, edition: Edition) -> None:
    pdf = care_sheet.render(care_view(*ORDERS[name]()), Paper.A4, edition)
    with plumb(pdf) as opened:
        sizes = [char["size"] for page in opened.pages for char in page.chars]

    assert min(sizes) >= edition.size - 0.01


def test_the_usual_sheet_is_one_page() -> None:
    for made in (medium(), toy(), giant(), dog_with(), dog_with(Risk.PUPPY, Risk.CHEWER)):
        for paper in Paper:
            assert len(read(care(made, paper)).pages) == 1


def test_whatever_the_dog_one_page_tells_it() -> None:
    """A dog that chews gets neither buttons nor shapes: the plan refuses them."""
    every = chain.from_iterable(combinations(Risk, number) for number in range(len(Risk) + 1))
    for risks in every:
        assert pages_of(dog_of(risks)) == 1, risks
        if Risk.CHEWER not in risks:
            assert pages_of(dog_of(risks), more=True) == 1, risks


def test_the_large_print_takes_two_pages() -> None:
    for risks in ((), tuple(Risk)):
        assert pages_of(dog_of(risks), Edition.LARGE) == 2


def test_what_is_too_long_for_a_page_takes_another_one() -> None:
    assert pages_of(hostile()) == 2


def test_buttons_and_shapes_are_told_of_only_where_there_are_any() -> None:
    plain, button, shape = (
        " ".join(line for topic in view.topics for line in topic.lines)
        for view in (
            care_view(*medium()),
            care_view(*medium(), buttoned=True),
            care_view(*medium(), sewn_on=True),
        )
    )

    assert "button" not in plain
    assert "apes" not in plain
    assert words.BUTTONS_FAST in button
    assert "open the buttons" in button
    assert "open all buttons first" in button
    assert words.SEWN_ON not in button
    assert words.SEWN_ON in shape
    assert "button" not in shape


def test_the_warmth_told_lies_under_the_published_figure() -> None:
    """Hall et al. 2022, Vet Sci 9(5):231: the median day with a case had 16.9 degrees."""
    told = re.search(r"below (\d+) °C \((\d+) °F\)", words.RISKS[Risk.HEAT])
    assert told
    celsius, fahrenheit = map(float, told.groups())

    assert 15 < celsius <= 16.9
    assert 15 < (fahrenheit - 32) / 1.8 <= 16.9


def test_a_heavy_dog_overheats() -> None:
    """Hall, Carter, O'Neill 2020, Sci Rep 10:9128: dogs over 50 kg are at risk."""
    heavy = order(Dog(weight_kg=50.5), (160, 560, 160, 680))
    light = order(Dog(weight_kg=49.5), (160, 560, 160, 680))

    assert "gets hot fast" in words_of(care(heavy))
    assert "gets hot fast" not in words_of(care(light))


def test_each_lot_is_named() -> None:
    job, plan = medium()
    both = replace(job, yarn=replace(job.yarn, lot="4711, 4712;"))
    none = replace(job, yarn=replace(job.yarn, lot=""))

    assert "Yarn lots 4711, 4712" in words_of(care((both, plan)))
    assert "Yarn lot" not in words_of(care((none, plan)))


@pytest.mark.parametrize(
    "caution",
    [
        "Never leave Mokka alone in the hood.",
        "Never let Mokka sleep in it.",
        "Never clip a lead to it",
        "Never in the heat",
        "hard play",
        "two or three minutes, praise",
        "Take it off at once if",
        "To put it on",
        "To take it off",
        "hears less in it",
        "breathes hard",
        "paws or pulls at it",
        "pants",
        "licks the lips",
        "yawns",
        "gags",
        "ears are red",
        "wet",
        "Check it each week",
        "loose ends",
        "Swallowed yarn is an emergency: call the vet at once",
        "Never pull on a yarn that hangs from mouth or bottom.",
        "Not a medical device: ask your vet.",
        "Local law decides",
        "Tamsin Reed",
        "3 Weavers Row",
        "Lower Ashby",
        "tamsin@hoods.example",
        "Hood 0042",
        "November 25, 2026",
        "60 % acrylic, 40 % cotton",
        "Yarn lot 4711",
    ],
)
def test_every_caution_and_mark_stands_there(caution: str) -> None:
    assert caution in words_of(care(medium()))


@pytest.mark.parametrize("risk", list(Risk))
def test_a_risk_has_its_line_and_no_other_dog_has_it(risk: Risk) -> None:
    line = words.RISKS[risk].replace("{dog}", "Mokka")
    others = tuple(other for other in Risk if other is not risk)

    assert line in words_of(care(dog_of((risk,))))
    assert line not in words_of(care(dog_of(others)))


def test_a_dog_without_risks_has_no_lines_of_its_own() -> None:
    assert "Just for" not in words_of(care(dog_with()))


@pytest.mark.parametrize(
    ("fibres", "said"),
    [
        (((Fibre.WOOL, 10), (Fibre.ACRYLIC, 90)), "by hand in cool water"),
        (((Fibre.SILK, 5), (Fibre.COTTON, 95)), "by hand in cool water"),
        (((Fibre.VISCOSE, 50), (Fibre.POLYESTER, 50)), "weak when wet"),
        (((Fibre.ACRYLIC, 60), (Fibre.COTTON, 40)), "heat spoils the yarn"),
        (((Fibre.COTTON, 100),), "it shrinks"),
    ],
)
def test_the_most_delicate_fibre_decides_the_washing(
    fibres: tuple[tuple[Fibre, int], ...], said: str
) -> None:
    job, plan = medium()
    made = (replace(job, yarn=replace(job.yarn, fibres=fibres)), plan)

    assert said in words_of(care(made))


def test_every_fibre_has_washing_words() -> None:
    for fibre in Fibre:
        assert words.washing(((fibre, 100),))


def test_the_ball_band_wins() -> None:
    job, plan = medium()
    text = words_of(care((replace(job, wash="Cold hand wash only."), plan)))

    assert "Cold hand wash only." in text
    assert "Machine wash" not in text


def test_a_dog_without_a_name_is_your_dog() -> None:
    job, plan = medium()
    text = words_of(care((replace(job, dog=" \u200b"), plan)))

    assert "Your dog\u2019s hood" in text
    assert "Never leave the dog alone" in text
    assert "Your dog paws" in text


def test_a_name_is_never_read_as_a_place_for_a_name() -> None:
    job, plan = medium()
    text = words_of(care((replace(job, dog="{dog} %s"), plan)))

    assert "Never leave {dog} %s alone" in text


def test_what_was_changed_is_told() -> None:
    assert "dog: cut to 24 characters." in care_view(*hostile()).warnings
    assert any("U+05DB" in warning for warning in care_view(*unprintable()).warnings)
    assert care_view(*medium()).warnings == ()
