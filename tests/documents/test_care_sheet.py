"""The buyer's sheet: large, plain, complete, and about this dog."""

import re
from dataclasses import replace

import pytest

from documents import care_words as words
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


@every_order
def test_no_type_is_smaller_than_14_points(name: str) -> None:
    with plumb(care(ORDERS[name]())) as pdf:
        sizes = [char["size"] for page in pdf.pages for char in page.chars]

    assert min(sizes) >= 13.99


def test_the_usual_sheet_is_one_page() -> None:
    for made in (medium(), toy(), giant(), dog_with(), dog_with(Risk.PUPPY, Risk.CHEWER)):
        for paper in Paper:
            assert len(read(care(made, paper)).pages) == 1


def test_a_full_sheet_takes_a_second_page() -> None:
    pages = read(care(dog_with(*Risk))).pages

    assert len(pages) == 2


@pytest.mark.parametrize(
    "caution",
    [
        "Never leave Mokka alone in the hood.",
        "Never let Mokka sleep in it.",
        "Never clip a lead to it",
        "Never in heat",
        "hard play",
        "two or three minutes, praise",
        "Take it off at once if",
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
        "25 November 2026",
        "60 % acrylic, 40 % cotton",
        "Yarn lot 4711",
    ],
)
def test_every_caution_and_mark_stands_there(caution: str) -> None:
    assert caution in words_of(care(medium()))


@pytest.mark.parametrize("risk", list(Risk))
def test_a_risk_has_its_line_and_no_other_dog_has_it(risk: Risk) -> None:
    line = words.RISKS[risk].replace("{dog}", "Mokka")
    others = [other for other in Risk if other is not risk]

    assert line in words_of(care(dog_with(risk)))
    assert line not in words_of(care(dog_with(*others)))


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
    assert "Never leave your dog alone" in text
    assert "Your dog paws" in text


def test_a_name_is_never_read_as_a_place_for_a_name() -> None:
    job, plan = medium()
    text = words_of(care((replace(job, dog="{dog} %s"), plan)))

    assert "Never leave {dog} %s alone" in text


def test_what_was_changed_is_told() -> None:
    assert "dog: cut to 24 characters." in care_view(*hostile()).warnings
    assert any("U+05DB" in warning for warning in care_view(*unprintable()).warnings)
    assert care_view(*medium()).warnings == ()


def syllables(word: str) -> int:
    groups = re.findall(r"[aeiouy]+", word.lower())
    silent = word.lower().endswith("e") and not word.lower().endswith("le") and len(groups) > 1
    return max(1, len(groups) - silent)


def test_the_words_are_plain_enough_for_a_twelve_year_old() -> None:
    """Flesch-Kincaid grade (Kincaid et al. 1975) of all sentences, at most 6."""
    lines = (
        *words.NEVER, *words.PUT_ON, *words.FIRST_TIMES, *words.SIGNS, *words.RISKS.values(),
        *words.CHECKS, *words.SWALLOWED, *(said for _, said in words.WASHING),
    )  # fmt: skip
    text = " ".join(lines).replace("{dog}", "Bo")
    sentences = len(re.findall(r"[.:](?:\s|$)", text))
    said = re.findall(r"[A-Za-z]+", text)
    grade = 0.39 * len(said) / sentences + 11.8 * sum(map(syllables, said)) / len(said) - 15.59

    assert grade <= 6
