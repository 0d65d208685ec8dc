"""Hostile texts in every place of the papers beside ticket and care sheet."""

from dataclasses import replace

import pytest

from documents.bill_view import quote_view
from documents.fonts import has_glyph
from documents.page import Paper
from tests.documents.more_samples import BILLING, MORE, TAXED, priced
from tests.documents.samples import Order, medium, overlaps, plumb, read, words_of
from tests.documents.test_hostile_texts import TEXTS

KINDS = [kind for kind in MORE if kind != "chart"]  # the chart takes a name and colours only


def typed(text: str) -> Order:
    """Return an order with a text in every place that people type in."""
    job, plan = medium()
    return (
        replace(
            job,
            order_number=text,
            hood_number=text,
            buyer=text,
            dog=text,
            breed=text,
            notes=text,
            wash=text,
            maker=replace(job.maker, name=text, address=(text, text), email=text),
            yarn=replace(job.yarn, name=text, lot=text),
        ),
        plan,
    )


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", list(TEXTS))
def test_a_hostile_text_is_laid_out_or_cut(name: str, kind: str) -> None:
    with plumb(MORE[kind](typed(TEXTS[name]), Paper.LETTER)) as pdf:
        assert len(pdf.pages) <= 4
        for page in pdf.pages:
            assert not overlaps(page)
            assert all(char["x0"] >= 0 and char["x1"] <= page.width for char in page.chars)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", ["unprintable", "emoji", "Hebrew"])
def test_no_letter_on_a_paper_lacks_a_glyph(name: str, kind: str) -> None:
    pages = read(MORE[kind](typed(TEXTS.get(name, "\u0000\ud800犬")), Paper.A4)).pages
    drawn = {sign for page in pages for sign in page.extract_text() if sign != "\n"}

    assert len(drawn) > 20
    assert [sign for sign in drawn if not has_glyph(sign)] == []


@pytest.mark.parametrize("name", ["image", "ampersand", "end of data", "format", "strings"])
def test_markup_is_printed_letter_by_letter(name: str) -> None:
    text = TEXTS[name]
    job, plan = priced(medium())
    billing = replace(BILLING, terms=text, payment_note=text)

    assert quote_view([(job, plan)], TAXED, billing).warnings == ()
    for kind in ("quote", "labels", "parcel"):
        assert " ".join(text.split()) in words_of(MORE[kind](of_wash_and_buyer(text), Paper.A4))


def of_wash_and_buyer(text: str) -> Order:
    job, plan = medium()
    return replace(job, wash=text, buyer=text), plan
