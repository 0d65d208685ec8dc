"""Buyers' papers say nothing past their language: one in capitals leaves no small letter."""

import re
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from documents import bill, label_sheet, measuring_guide, parcel_slip, size_sheet
from documents.bill_view import BillView, credit_note_view, invoice_view, quote_view
from documents.billing import Billing
from documents.guide_view import guide_view
from documents.job import Job, Maker
from documents.label_view import label_view
from documents.language import Language
from documents.page import Paper
from documents.parcel_view import parcel_view
from documents.size_view import size_view
from sizing.rates import TaxQuoted
from tests.documents.more_samples import BILLING, KILOS, TAXED, need_of, priced, stock
from tests.documents.samples import medium, read


class Capitals(Language):
    """A language whose every message is its English one in capitals."""

    def say(self, message: str, **values: object) -> str:
        return super().say(message, **values).upper()

    def many(self, one: str, more: str, number: int, **values: object) -> str:
        return super().many(one, more, number, **values).upper()


LOUD = Capitals("en")
PLAN = priced(medium())[1]
ON_TOP = replace(TAXED, tax_quoted=TaxQuoted.EXCLUSIVE)
LEFT_ALONE = re.compile(
    r"page \d+ of \d+"  # the frame of every paper
    r"|\b(January|February|March|April|May|June|July|August|September|October|November|December)"
    r"|\b(cm|in)\b|\bm\b"
)
"""What no message holds: the footer's count, the months, which are a date's, and units."""


def job() -> Job:
    """The sample order with all that is typed in capitals."""
    one = medium()[0]
    maker = Maker("TAMSIN REED", ("3 WEAVERS ROW",), "T@HOODS.EXAMPLE")
    yarn = replace(one.yarn, name="MOORLAND")
    return replace(one, buyer="ILKA", dog="MOKKA", breed="COLLIE", maker=maker, yarn=yarn)


def billing(**changes: object) -> Billing:
    typed = {"buyer_address": (), "terms": "", "payment_note": "", "reference": ""}
    return replace(BILLING, **typed, **changes)  # type: ignore[arg-type]  # fields by their names


def sizes() -> bytes:
    needs = [need_of(size, job().yarn) for size in stock().sizes]
    names = [f"DOG {kilos:g}" for kilos in KILOS]
    view = size_view(stock(), needs, names, job().yarn, job().maker, job().issued, LOUD, limit=0.6)
    return size_sheet.render(view, Paper.A4)


def of_bill(make: Callable[..., BillView], **changes: object) -> Callable[[], bytes]:
    return lambda: bill.render(
        make([(job(), PLAN)], ON_TOP, billing(**changes), LOUD), Paper.A4
    )  # fmt: skip


PAPERS: dict[str, Callable[[], bytes]] = {
    "quote": of_bill(quote_view),
    "quote without a last day": of_bill(quote_view, valid_until=None),
    "invoice": of_bill(invoice_view, paid=Decimal(1)),
    "receipt": of_bill(invoice_view, paid=Decimal(10_000)),
    "credit note": of_bill(credit_note_view, cancels="9", paid=Decimal(3)),
    "guide": lambda: measuring_guide.render(guide_view(job().maker, LOUD), Paper.A4),
    "labels": lambda: label_sheet.render(label_view([job()], LOUD), Paper.A4),
    "parcel": lambda: parcel_slip.render(parcel_view([job()], (), LOUD), Paper.A4),
    "sizes": sizes,
}


@pytest.mark.parametrize("name", list(PAPERS))
def test_nothing_is_said_past_the_language(name: str) -> None:
    text = "\n".join(page.extract_text() for page in read(PAPERS[name]()).pages)
    rest = LEFT_ALONE.sub("", text)

    assert re.search("[A-Z]{4}", rest)
    assert re.findall(r"\S*[a-z]\S*", rest) == []


def test_a_language_that_is_none_of_english_sets_its_own_decimal_sign() -> None:
    made = medium()
    view = quote_view([priced(made)], TAXED, BILLING, Language("de"))
    text = " ".join(read(bill.render(view, Paper.A4)).pages[0].extract_text().split())

    assert "neck girth 38,0 cm" in text
    assert "25. November 2026" in text
    assert re.search(r"\d+,\d\d €", text)
