"""The ticket holds every row, in order, with its count; nobody works from memory."""

from collections import defaultdict
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from pdfplumber.page import Page

from documents.figures import tolerance_text
from documents.job import Acceptance
from documents.page import Paper
from documents.ticket_rows import Pair, Step, Strip
from documents.ticket_short import short_text
from documents.ticket_view import ticket_view
from sizing.dogs import Dog, Risk
from sizing.rows import PartName, Row
from sizing.units import show_length
from sizing.wording import row_text
from tests.documents.samples import (
    ORDERS,
    SWATCH,
    Order,
    fine_giant,
    giant,
    hostile,
    medium,
    order,
    overlaps,
    plumb,
    read,
    ticket,
    toy,
    unprintable,
    untested,
    words_of,
)

every_order = pytest.mark.parametrize("name", list(ORDERS))


def expected(made: Order) -> list[list[str]]:
    """Return for each row, in order, the ways it may stand in the text."""
    job, plan = made
    found = []
    for part in plan.pattern.parts:
        if part.part in (PartName.COLLAR_SEAM, PartName.CROWN_SEAM):
            continue
        for row in part.rows:
            sentence, _, count = row_text(part.part, row, job.terms).rpartition(" (")
            begin, end = f"{row.row} {row.side}", count.rstrip(")")
            short = f"{begin} {short_text(sentence)} {end}"
            found.append([f"{begin} {sentence} {end}", short, f"{begin} {end}", f" {row.row} "])
    return found


def assert_every_row(made: Order, text: str) -> None:
    at = 0
    for ways in expected(made):
        places = [place for way in ways if (place := text.find(way, at)) >= 0]
        assert places, f"{ways[0]} is missing after …{text[max(0, at - 60) : at]}"
        at = min(places) + 1


@every_order
def test_every_row_stands_in_the_text_in_order(name: str) -> None:
    made = ORDERS[name]()

    assert_every_row(made, words_of(ticket(made)))


@pytest.mark.parametrize("name", ["medium", "untested", "toy", "giant"])
def test_every_shaped_row_has_its_whole_sentence_and_count(name: str) -> None:
    made = ORDERS[name]()
    text = words_of(ticket(made))
    job, plan = made
    for row in plan.pattern.part(PartName.HOOD).rows:
        sentence, _, count = row_text(PartName.HOOD, row, job.terms).rpartition(" (")
        said = f"{row.row} {row.side} {sentence} {count.rstrip(')')}"

        short = f"{row.row} {row.side} {short_text(sentence)} {count.rstrip(')')}"
        whole = said in text or short in text
        assert whole or (len(row.operations) == 1 and sentence in text)


def middle_of(mark: dict[str, Any]) -> float:
    return float(mark["top"] + mark["bottom"]) / 2


def beside(marks: list[dict[str, Any]], word: dict[str, Any], low: float, high: float) -> bool:
    """Return whether a mark on the word's line begins `low` to `high` points right of it."""
    return any(
        low < mark["x0"] - word["x1"] < high and abs(middle_of(mark) - middle_of(word)) < 4
        for mark in marks
    )


def set_rows(page: Page, rows: list[Row]) -> set[int]:
    """Return the rows that have on this page their number with box, side and count beside it."""
    words: defaultdict[str, list[dict[str, Any]]] = defaultdict(list)
    for word in page.extract_words():
        words[word["text"]].append(word)
    return {
        row.row
        for row in rows
        for word in words[str(row.row)]
        if beside(page.rects, word, -60, -10)
        and beside(words[row.side], word, 0, 12)
        and beside(words[str(row.stitches)], word, 0, 500)
    }


@pytest.mark.parametrize("name", ["medium", "toy", "giant", "fine giant"])
def test_a_second_reader_finds_box_side_and_count_beside_each_number(name: str) -> None:
    made = ORDERS[name]()
    rows = list(made[1].pattern.part(PartName.HOOD).rows)
    with plumb(ticket(made)) as pdf:
        found = {row for page in pdf.pages for row in set_rows(page, rows)}

    assert found == {row.row for row in rows}


@pytest.mark.parametrize("name", ["medium", "giant", "fine giant"])
def test_each_folded_row_has_a_box_of_its_own(name: str) -> None:
    made = ORDERS[name]()
    rows = len(made[1].pattern.part(PartName.COLLAR).rows)
    boxed = set()
    with plumb(ticket(made)) as pdf:
        for page in pdf.pages:
            for word in page.extract_words():
                inside = [
                    box
                    for box in page.rects
                    if box["x0"] < word["x0"]
                    and word["x1"] < box["x1"]
                    and box["top"] < middle_of(word) < box["bottom"]
                    and box["x1"] - box["x0"] < 25
                ]
                if word["text"].isdigit() and inside:
                    boxed.add(int(word["text"]))

    assert boxed >= set(range(2, rows + 1))


def test_a_medium_hood_with_a_swatch_fits_one_sheet() -> None:
    for paper in Paper:
        assert len(read(ticket(medium(), paper)).pages) <= 2
        assert len(read(ticket(toy(), paper)).pages) <= 2


def test_the_largest_dog_takes_at_most_four_pages() -> None:
    assert len(read(ticket(untested())).pages) <= 2
    assert len(read(ticket(giant(), Paper.LETTER)).pages) <= 4
    assert len(read(ticket(fine_giant())).pages) <= 4


def test_the_work_stands_in_its_order() -> None:
    text = words_of(ticket(untested()))
    titles = [
        "Untested gauge: swatch first",
        "Collar Chain",
        "Joining the collar",
        "Hood The",
        "The crown begins with row",
        "Closing the top",
        "Finishing",
        "Handing over",
        "Notes",
    ]
    places = [text.index(title) for title in titles]

    assert places == sorted(places)


def test_a_tested_gauge_needs_no_swatch() -> None:
    text = words_of(ticket(medium()))

    assert "swatch" not in text.lower()
    assert "untested" not in text.lower()


def test_the_terms_are_told_and_kept_to() -> None:
    us, uk = words_of(ticket(untested())), words_of(ticket(giant()))

    assert "US terms" in us
    assert "Gauge over" in us
    assert " dc " not in us
    assert "UK terms" in uk
    assert "Untested tension" in uk
    assert " sc " not in uk


@every_order
def test_every_checkpoint_says_what_to_see_and_how_near(name: str) -> None:
    made = ORDERS[name]()
    job, plan = made
    text = words_of(ticket(made))
    for point in plan.checkpoints:
        near = tolerance_text(point.tolerance_mm, job.unit)
        what = point.name[0].upper() + point.name[1:]
        shown = f"after row {point.row} {what} {show_length(point.mm, job.unit)} ({near})"

        assert shown in text


def test_measurements_stand_as_given_and_as_used() -> None:
    text = words_of(ticket(giant()))

    assert "Neck girth 68 26 3/4 in" in text
    assert "Face girth 84 33 1/8 in" in text


def test_an_accepted_stop_stands_with_its_reason() -> None:
    job, plan = order(Dog("Border Collie", 18.0), (110, 900, 110, 480), swatch=SWATCH)
    job = replace(job, accepted=(Acceptance("neck_girth", "Measured twice over the ruff."),))
    text = words_of(ticket((job, plan)))

    assert "Accepted: 90.0 cm is large for the neck girth" in text
    assert "Reason: Measured twice over the ruff." in text


def test_the_ticket_names_no_price() -> None:
    _, plan = medium()
    text = words_of(ticket(medium()))

    assert str(plan.price.total) not in text
    assert plan.price.currency not in text


def test_the_risks_are_minded_and_talked_over() -> None:
    text = words_of(ticket(giant()))

    assert "Mind: chewer, heat." in text
    assert "This dog: chewer, heat." in text
    assert Risk.PUPPY.value not in text


def links(pdf: bytes) -> list[str]:
    notes = read(pdf).pages[0].get("/Annots") or []
    return [note.get_object()["/A"]["/URI"] for note in notes]


def test_the_code_opens_the_order() -> None:
    assert links(ticket(medium())) == ["https://hoods.example/orders/2026-031"]


@pytest.mark.parametrize(
    "link", ["javascript:alert(1)", "file:///etc/passwd", "https://x.example/" + "a" * 400, "https://\ud800"]
)  # fmt: skip
def test_no_other_address_becomes_a_code(link: str) -> None:
    job, plan = medium()
    view = ticket_view(replace(job, link=link), plan)

    assert not view.head.link
    assert any(warning.startswith("link") for warning in view.warnings)
    assert not links(ticket((replace(job, link=link), plan)))


def test_markup_is_printed_as_typed() -> None:
    text = words_of(ticket(hostile()))

    assert '<img src="file:///etc/passwd"> & ]]> </para><b>x</b>' in text
    assert "root:" not in text


def test_what_was_cut_or_cannot_be_printed_is_told() -> None:
    cut = ticket_view(*hostile()).warnings
    assert "notes: cut to 900 characters." in cut
    assert "buyer: cut to 80 characters." in cut

    missing = ticket_view(*unprintable()).warnings
    assert any(warning.startswith("dog: ב (U+05D1)") for warning in missing)
    assert any("U+1F415" in warning for warning in missing)
    assert "\ufffd" in words_of(ticket(unprintable()))


def test_no_order_of_our_own_is_warned_about() -> None:
    for made in (medium(), toy(), giant()):
        assert ticket_view(*made).warnings == ()


lengths = st.tuples(
    st.floats(30, 320), st.floats(120, 1100), st.floats(30, 420), st.floats(150, 1300)
)


@settings(max_examples=40, deadline=None)
@given(lengths=lengths)
def test_folding_loses_no_row_and_doubles_none(
    lengths: tuple[float, float, float, float],
) -> None:
    made = order(Dog(weight_kg=20.0), lengths)
    sections = ticket_view(*made).sections
    for part, section in zip(made[1].pattern.parts, sections, strict=False):
        if part.part in (PartName.COLLAR, PartName.HOOD):
            said: list[tuple[int, str]] = []
            for item in section.items:
                if isinstance(item, Step):
                    said.append((item.row, item.count))
                elif isinstance(item, Pair):
                    said += [(one.row, one.count) for one in (item.first, item.second)]
                elif isinstance(item, Strip):
                    said += [(row, item.count) for row in range(item.first, item.last + 1)]

            assert said == [(row.row, f"{row.stitches} sts") for row in part.rows]


# Not shrunk: a failing example is one dog's four lengths, and each try draws a whole ticket.
@settings(max_examples=8, deadline=None, phases=(Phase.explicit, Phase.reuse, Phase.generate))
@given(lengths=lengths)
def test_any_dog_gets_a_ticket_with_every_row(
    lengths: tuple[float, float, float, float],
) -> None:
    made = order(Dog(weight_kg=20.0), lengths)
    pdf = ticket(made)

    assert_every_row(made, words_of(pdf))
    with plumb(pdf) as pages:
        for page in pages.pages:
            assert not overlaps(page)
