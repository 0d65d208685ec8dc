"""The measuring guide: one page, every tape with its words, room to write, and care."""

import pytest

from documents import guide_words as words
from documents import measuring_guide
from documents.guide_drawing import MAIN, MORE
from documents.guide_view import guide_view
from documents.job import Maker
from documents.page import Paper
from documents.strokes import steps
from sizing.dogs import Field
from sizing.exactness import MOST_APART, TAPE_SD, far_apart
from tests.documents.more_samples import guide
from tests.documents.samples import ORDERS, hostile, medium, plumb, read, words_of

every_paper = pytest.mark.parametrize("paper", list(Paper))
TAPES = (*(tape for _, tape in words.TAPES), *words.MORE_TAPES)


@every_paper
@pytest.mark.parametrize("name", list(ORDERS))
def test_it_is_one_page(name: str, paper: Paper) -> None:
    assert len(read(guide(ORDERS[name](), paper)).pages) == 1


@every_paper
def test_everything_stands_there_in_reading_order(paper: Paper) -> None:
    text = words_of(guide(medium(), paper))
    at = 0
    for part in (
        "How to measure your dog for a hood", "Your name", "Breed or mix", "Weight",
        "How it is done", *words.HOW, "1st time", "2nd time", "unit",
        *(f"{tape.name}: {tape.where}" for tape in TAPES), *words.CAUTIONS,
        "Please send it back to Tamsin Reed, tamsin@hoods.example.",
    ):  # fmt: skip
        found = text.find(part, at)
        assert found >= 0, f"{part} | {text[at : at + 300]}"
        at = found


def test_all_four_lengths_and_both_others_are_told_and_drawn() -> None:
    assert [field for field, _ in words.TAPES] == list(Field)
    assert [tape.sign for tape in TAPES] == ["1", "2", "3", "4", "A", "B"]
    assert [laid.sign for laid in (*MAIN, *MORE)] == [tape.sign for tape in TAPES]


def test_each_sign_stands_on_the_picture_and_at_its_words() -> None:
    with plumb(guide(medium())) as pdf:
        signs = [
            word["text"]
            for word in pdf.pages[0].extract_words(extra_attrs=["non_stroking_color"])
            if word["non_stroking_color"] in ((1,), (1.0,), 1)
        ]

    assert sorted(signs) == sorted([tape.sign for tape in TAPES] * 2)


def test_a_tape_that_goes_round_closes_behind_the_dog() -> None:
    for laid in (*MAIN, *MORE):
        if laid.far:
            near, far = steps(laid.data), steps(laid.far)
            assert near[0][1] == far[0][1]
            assert near[-1][1][-2:] == far[-1][1][-2:]


@every_paper
def test_each_length_has_two_boxes_to_write_in_and_a_tick_for_each_unit(paper: Paper) -> None:
    with plumb(guide(medium(), paper)) as pdf:
        page = pdf.pages[0]
        boxes = [box for box in page.rects if box["width"] > 50 and box["height"] > 20]
        ticks = [box for box in page.rects if 8 < box["width"] < 12 and 8 < box["height"] < 12]
        table = min(box["top"] for box in boxes)
        beside = max(box["x1"] for box in boxes)
        words_there = (w for w in page.extract_words() if w["top"] > table and w["x0"] > beside)
        units = [word["text"] for word in words_there]

    assert len(boxes) == len(ticks) == 2 * len(TAPES)
    assert units.count("cm") == units.count("in") == len(TAPES)
    for box in boxes:  # none over another
        others = [one for one in boxes if one is not box]
        assert not any(
            min(one["x1"], box["x1"]) > max(one["x0"], box["x0"])
            and min(one["bottom"], box["bottom"]) > max(one["top"], box["top"])
            for one in others
        )


def test_what_an_owner_reads_is_12_points_or_more() -> None:
    with plumb(guide(medium())) as pdf:
        page = pdf.pages[0]
        foot = max(char["bottom"] for char in page.chars)
        sizes = [
            char["size"]
            for char in page.chars
            if char["bottom"] < foot - 14 and char["text"] not in "1234AB"
        ]

    assert min(sizes) >= 11.99


def test_the_name_is_there_where_it_is_known_and_markup_as_typed() -> None:
    assert "Mokka" in words_of(guide(medium()))
    assert '<img src="file:///etc/passwd">' in words_of(guide(hostile()))
    assert "dog: cut to 40 characters." in guide_view(hostile()[0].maker, dog="x" * 99).warnings


def test_a_maker_without_an_address_has_no_line_to_send_it_to() -> None:
    pdf = measuring_guide.render(guide_view(Maker("")), Paper.A4)

    assert "send it back" not in words_of(pdf)


def test_the_guide_and_the_owner_s_page_ask_for_a_third_time_alike() -> None:
    said = " ".join(words.HOW)
    assert f"two girths differ by more than {MOST_APART.value / 10:g} cm" in said
    assert "two lengths by more than 1 cm" in said
    for girth in (250, 360, 700):
        assert far_apart(girth, girth + 20.1, TAPE_SD.value)
        assert not far_apart(girth, girth + 15, TAPE_SD.value)
    for length in (110, 120):  # a beagle's nape, whose two readings differ so seldom
        assert far_apart(length, length + 11, TAPE_SD.value)
        assert not far_apart(length, length + 9, TAPE_SD.value)
