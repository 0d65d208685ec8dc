"""Whatever is typed, a paper is laid out or clearly cut, and says what it could not show."""

import re
from dataclasses import replace

import pytest

from documents.care_sheet import Edition, render
from documents.care_view import care_view
from documents.fonts import has_glyph
from documents.job import Maker
from documents.page import Paper
from documents.text import ELLIPSIS, MISSING, MOST_MARKS, Cleaner
from tests.documents.samples import (
    ORDERS,
    PAPERS,
    Order,
    medium,
    overlaps,
    plumb,
    read,
    unprintable,
    words_of,
)

TEXTS = {
    "image": '<img src="file:///etc/passwd">',
    "ampersand": "Bed & Breakfast &amp; &#x41;",
    "end of data": "]]> </para> -->",
    "format": "%s %(dog)s {dog} {0} {whom!r}",
    "strings": r"\n \( ) (( \\ /Title (x)",
    "long": "abcd efgh " * 500,
    "one word": "W" * 5000,
    "Hebrew": "כלב שלי",
    "Arabic": "كلبي \u202eصغير\u202c",
    "marks": "Zo" + "\u0308\u0301\u0302\u0303" * 30 + "e",
    "emoji": "Bo \U0001f415\u200d\U0001f9ba \U0001f1e9\U0001f1ea ❤\ufe0f",
    "controls": "a\x00b\x1bc\x7fd\u2028e\u2029f",
    "surrogate": "half \ud83d a pair",
    "blank": "\u200b\u2060 \u00a0",
}
every_text = pytest.mark.parametrize("name", list(TEXTS))


def typed(text: str) -> Order:
    """Return an order with a text in every place that a buyer's sheet takes from people."""
    job, plan = medium()
    yarn = replace(job.yarn, lot=text)
    maker = Maker(text, (text, text), text)
    return replace(job, dog=text, hood_number=text, wash=text, yarn=yarn, maker=maker), plan


@every_text
@pytest.mark.parametrize("edition", list(Edition))
@pytest.mark.parametrize("code", ["en", "de"])
def test_a_hostile_text_is_laid_out_or_cut(name: str, edition: Edition, code: str) -> None:
    view = care_view(*typed(TEXTS[name]), code)
    pdf = render(view, Paper.A4, edition)
    cut = len(TEXTS[name]) > 1000

    assert len(read(pdf).pages) <= (4 if cut else edition.pages)
    with plumb(pdf) as opened:
        for page in opened.pages:
            assert not overlaps(page)
            assert all(char["x0"] >= 0 and char["x1"] <= page.width for char in page.chars)
    if cut:
        assert ELLIPSIS in view.heading
        assert any("cut to" in warning for warning in view.warnings)


@pytest.mark.parametrize("name", ["image", "ampersand", "end of data", "format", "strings"])
def test_markup_is_printed_letter_by_letter(name: str) -> None:
    job, plan = medium()
    view = care_view(replace(job, wash=TEXTS[name]), plan)

    assert " ".join(TEXTS[name].split()) in words_of(render(view, Paper.A4))
    assert view.warnings == ()


@pytest.mark.parametrize("name", ["Hebrew", "Arabic", "emoji", "surrogate"])
def test_what_no_font_has_is_shown_as_missing_and_told(name: str) -> None:
    job, plan = medium()
    view = care_view(replace(job, dog=TEXTS[name]), plan)

    assert MISSING in words_of(render(view, Paper.A4))
    assert any("dog: " in warning and "cannot be printed" in warning for warning in view.warnings)


def test_a_tower_of_marks_does_not_reach_the_next_line() -> None:
    cleaner = Cleaner()
    line = cleaner.line(TEXTS["marks"], "dog", 80)

    assert max(map(len, re.findall("[\u0300-\u036f]+", line))) <= MOST_MARKS
    assert cleaner.warnings


@pytest.mark.parametrize("kind", list(PAPERS))
@pytest.mark.parametrize("name", list(ORDERS))
def test_no_letter_on_a_paper_lacks_a_glyph(kind: str, name: str) -> None:
    """A font without a glyph draws an empty box and tells nobody; so the papers are read back."""
    pages = read(PAPERS[kind](ORDERS[name](), Paper.A4)).pages
    drawn = {sign for page in pages for sign in page.extract_text() if sign != "\n"}

    assert len(drawn) > 30
    assert [sign for sign in drawn if not has_glyph(sign)] == []


def test_the_missing_sign_itself_has_a_glyph() -> None:
    assert has_glyph(MISSING)
    assert MISSING in words_of(PAPERS["ticket"](unprintable(), Paper.A4))
