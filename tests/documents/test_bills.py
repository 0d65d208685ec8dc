"""Quotes, invoices, receipts and credit notes: what stands there, and that it adds up."""

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import pairwise

import pytest

from documents import bill
from documents.bill_lines import amounts_of
from documents.bill_view import BillView, credit_note_view, invoice_view, quote_view
from documents.billing import Billing, Detail
from documents.page import Paper
from sizing.errors import ValueOutOfRangeError
from sizing.price import Line, price_of
from sizing.rates import Profit, Rates, TaxQuoted
from sizing.units import LengthUnit
from tests.documents.more_samples import BILLING, TAXED, billed, credit, invoice, priced, quote
from tests.documents.samples import Order, giant, hostile, medium, read, toy, words_of
from tests.documents.test_variant_tickets import order_of

AMOUNT = re.compile(r"-?[^\d\s,.-]{1,4} ?[\d,]+(\.\d+)?")

RATES = {
    "no tax": Rates(),
    "tax inside": TAXED,
    "tax on top": replace(TAXED, tax_quoted=TaxQuoted.EXCLUSIVE),
    "markup": replace(TAXED, profit=Profit.MARKUP, markup=Decimal("0.37")),
    "yen": replace(TAXED, currency="JPY", wage_per_hour=Decimal(1800)),
    "dinar": replace(TAXED, currency="KWD", wage_per_hour=Decimal(5)),
    "no fee": replace(TAXED, fee_share=Decimal(0), discount=Decimal(0)),
}
every_rate = pytest.mark.parametrize("name", list(RATES))


def lines_of(pdf: bytes) -> list[tuple[str, Decimal]]:
    """Each printed line that ends in an amount, as the reader of the PDF sees it.

    The name and the amount are written one after the other and read as two lines.
    """
    text = "\n".join(page.extract_text() for page in read(pdf).pages)
    found = []
    lines = text.split("\n")
    for name, amount in pairwise(lines):
        if AMOUNT.fullmatch(amount):
            found.append((name, Decimal(re.sub(r"[^\d.-]", "", amount))))
    return found


def total_of(lines: list[tuple[str, Decimal]], name: str) -> Decimal:
    return next(amount for line, amount in lines if line.startswith(name))


def bill_of(made: Order, rates: Rates, detail: Detail) -> tuple[BillView, bytes]:
    billing = replace(BILLING, detail=detail)
    view = quote_view([priced(made, rates)], rates, billing)
    return view, bill.render(view, Paper.A4)


@every_rate
@pytest.mark.parametrize("detail", list(Detail))
@pytest.mark.parametrize("make", [medium, toy, giant])
def test_the_printed_lines_add_up_to_the_printed_total(
    name: str, detail: Detail, make: object
) -> None:
    rates = RATES[name]
    made = make()  # type: ignore[operator]  # one of the sample orders
    view, pdf = bill_of(made, rates, detail)
    lines = lines_of(pdf)
    names = [line for line, _ in lines]
    total = total_of(lines, "Total")
    first = names.index("Before tax") if rates.tax else names.index("Total")

    assert len(lines) == len(view.hoods[0].lines) + sum(
        len(part) for part in (view.totals[0], (view.totals[1],), view.totals[2])
    )
    before = sum(amount for _, amount in lines[:first])
    assert first > (0 if detail is Detail.SUMMED else 2)
    if rates.tax:
        assert before == total_of(lines, "Before tax")
        assert before + total_of(lines, "Tax") == total
    else:
        assert before == total
    if rates.deposit:
        assert total_of(lines, "Deposit") + total_of(lines, "Balance") == total
    assert total == priced(made, rates)[1].price.total


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("no tax", "No tax shown."),
        ("tax inside", "Tax 19 %, in the total"),
        ("tax on top", "Tax 19 %, on top"),
    ],
)
def test_the_tax_is_told_as_it_is_set(name: str, said: str) -> None:
    text = words_of(bill_of(medium(), RATES[name], Detail.GROUPED)[1])

    assert said in text
    assert ("No tax shown" in text) == (name == "no tax")


def test_the_tax_is_that_share_of_what_is_before_it() -> None:
    lines = lines_of(bill_of(medium(), RATES["tax on top"], Detail.GROUPED)[1])
    before, tax = total_of(lines, "Before tax"), total_of(lines, "Tax")

    assert abs(before * Decimal("0.19") - tax) <= Decimal("0.005")


IN_ORDER = (
    "From", "Tamsin Reed", "3 Weavers Row", "Lower Ashby", "tamsin@hoods.example",
    "Tax number: T-998", "To", "Ilka Brandauer", "4 Lime Street", "Port Ellory", "Details",
    "Date: November 25, 2026",
)  # fmt: skip
ENDING = (
    "Terms of payment", "40 % before the work begins", "How it is paid", "account 12 34 56",
    "worn only under supervision", "not a medical device: ask your vet.",
    "tax and consumer law of the place decides",
)  # fmt: skip


def assert_in_order(text: str, parts: tuple[str, ...]) -> None:
    at = 0
    for part in parts:
        found = text.find(part, at)
        assert found >= 0, f"“{part}” is not there, or not in order: {text[at:]}"
        at = found + len(part)


@pytest.mark.parametrize("paper", list(Paper))
def test_a_quote_says_all_in_reading_order(paper: Paper) -> None:
    assert_in_order(
        words_of(quote(medium(), paper)),
        (
            "Quote 2026-0117", "One hood", *IN_ORDER, "Valid until: December 9, 2026",
            "Order: 2026-031", "Your reference: Mokka, winter", "Hood 0042, for Mokka",
            "Border Collie", "Ribbed collar in one closed tube",
            "Yarn: Moorland Soft, 60 % acrylic, 40 % cotton", "Made to these lengths:",
            "neck length 11.0 cm", "face girth 48.0 cm", "Yarn", "Work by hand",
            "Running the workshop", "Discount", "Before tax", "Tax 19 %", "Total", "Deposit",
            "Balance", *ENDING,
        ),
    )  # fmt: skip


def test_a_quote_speaks_in_the_unit_of_its_order() -> None:
    job, plan = giant()

    assert job.unit is LengthUnit.INCH
    assert "neck girth 26 3/4 in" in words_of(quote((job, plan)))


def test_an_invoice_says_what_is_paid_and_what_is_left() -> None:
    text = words_of(invoice(medium()))
    lines = lines_of(invoice(medium()))

    assert_in_order(
        text, ("Invoice 2026-0117", *IN_ORDER, "To be paid by: December 12, 2026", *ENDING)
    )
    assert total_of(lines, "Paid") == 20
    assert total_of(lines, "Total") - 20 == total_of(lines, "Still to pay")
    assert "Made to these lengths" not in text


@pytest.mark.parametrize(("more", "said"), [("0", "Still to pay"), ("3.5", "to be paid back")])
def test_an_invoice_paid_in_full_is_a_receipt(more: str, said: str) -> None:
    made = priced(medium())
    paid = made[1].price.total + Decimal(more)
    billing = replace(BILLING, paid=paid, paid_on=date(2026, 12, 2))
    pdf = bill.render(invoice_view([made], TAXED, billing), Paper.A4)

    assert "Invoice and receipt 2026-0117" in words_of(pdf)
    assert "Paid on December 2, 2026" in words_of(pdf)
    assert next(amount for line, amount in lines_of(pdf) if said in line) == Decimal(more)


def test_a_credit_note_names_the_invoice_that_it_cancels() -> None:
    text = words_of(credit(medium()))

    assert_in_order(
        text,
        (
            "Credit note 2026-0117", "Cancels invoice: 2026-0099",
            "Date of the invoice: November 2, 2026", "Total credited", "To be paid back to you",
            "€20.50", "cancels invoice 2026-0099 in full",
        ),
    )  # fmt: skip
    assert total_of(lines_of(credit(medium())), "Total credited") == medium()[1].price.total


@pytest.mark.parametrize(
    ("closes", "said"),
    [(False, "takes €10.00 off invoice 2026-0099"), (True, "takes the last €10.00 off")],
)
def test_a_sum_is_taken_off_with_its_share_of_the_tax(*, closes: bool, said: str) -> None:
    made = priced(medium())
    part = billed(
        made, cancels="2026-0099", credited=Decimal("10.00"), closes=closes,
        why="A flaw in the rib", paid=Decimal("20.50"), back=Decimal("3.00"),
    )  # fmt: skip
    pdf = bill.render(credit_note_view([made], TAXED, part), Paper.A4)
    text, lines = words_of(pdf), lines_of(pdf)

    assert said in text
    assert ("Nothing is left to pay" in text) == closes
    assert ("Cancels invoice" in text) == closes
    assert "A flaw in the rib" in text
    net, tax = total_of(lines, "Before tax"), total_of(lines, "Tax 19 %")
    assert net + tax == total_of(lines, "Total credited") == Decimal("10.00")
    assert tax == (Decimal(10) - Decimal(10) / Decimal("1.19")).quantize(Decimal("0.01"))
    assert total_of(lines, "Taken off") == net
    assert total_of(lines, "To be paid back to you") == Decimal("3.00")


@pytest.mark.parametrize("sum_off", [Decimal(0), Decimal(-1), Decimal("NaN")])
def test_nothing_cannot_be_credited(sum_off: Decimal) -> None:
    with pytest.raises(ValueOutOfRangeError, match="more than 0"):
        replace(BILLING, credited=sum_off)


@pytest.mark.parametrize("cancels", ["", "  "])
def test_a_credit_note_without_an_invoice_is_refused(cancels: str) -> None:
    with pytest.raises(ValueOutOfRangeError, match="Name the invoice"):
        credit_note_view([medium()], Rates(), replace(BILLING, cancels=cancels))


def test_several_hoods_add_up_in_one_invoice() -> None:
    hoods = [priced(medium()), priced(toy())]
    pdf = bill.render(invoice_view(hoods, TAXED, BILLING), Paper.A4)
    lines = lines_of(pdf)
    before = [amount for line, amount in lines[: [n for n, _ in lines].index("Before tax")]]

    assert "2 hoods" in words_of(pdf)
    assert sum(before) == total_of(lines, "Before tax")
    assert total_of(lines, "Total") == sum(plan.price.total for _, plan in hoods)


def test_hoods_in_two_currencies_and_none_at_all_are_refused() -> None:
    with pytest.raises(ValueOutOfRangeError, match="one currency"):
        quote_view([priced(medium()), priced(toy(), RATES["yen"])], TAXED, BILLING)
    with pytest.raises(ValueOutOfRangeError, match="needs hoods"):
        quote_view([], TAXED, BILLING)


@pytest.mark.parametrize("paid", ["-1", "NaN", "Infinity"])
def test_a_payment_that_is_none_is_refused(paid: str) -> None:
    with pytest.raises(ValueOutOfRangeError, match="0 or more"):
        Billing("1", date(2026, 1, 1), paid=Decimal(paid))


def test_an_extra_is_a_line_of_its_own_whatever_it_is_called() -> None:
    job, plan = medium()
    extras = [Line("<b>horn buttons</b>", Decimal("3.20")), Line("tax", Decimal("1.00"))]
    price = price_of(plan.yarn, job.yarn, plan.labour, TAXED, extras=extras)
    made = (job, replace(plan, price=price))
    lines = lines_of(bill.render(quote_view([made], TAXED, BILLING), Paper.A4))

    assert total_of(lines, "<b>horn buttons</b>") == Decimal("3.20")
    assert ("tax", Decimal("1.00")) in lines
    assert sum(amount.amount for amount in amounts_of(price, Detail.GROUPED)) == (
        price.total - next(line.amount for line in price.lines[::-1] if line.name == "tax")
    )


def test_an_older_price_without_its_later_fields_is_billed_too() -> None:
    job, plan = priced(medium())
    old = replace(plan.price, before_tax=None, deposit=None, balance=None)
    lines = lines_of(
        bill.render(quote_view([(job, replace(plan, price=old))], TAXED, BILLING), Paper.A4)
    )

    assert total_of(lines, "Before tax") + total_of(lines, "Tax") == old.total
    assert not any(line.startswith("Deposit") for line, _ in lines)


def test_a_buttoned_collar_is_told() -> None:
    assert "opens and closes with buttons" in words_of(quote(order_of("buttoned")))


def test_a_quote_without_a_last_day_says_so() -> None:
    view = quote_view([priced(medium())], TAXED, replace(BILLING, valid_until=None))

    assert "Ask whether the quote still holds" in words_of(bill.render(view, Paper.LETTER))


def test_what_was_cut_is_told_and_markup_is_drawn_as_typed() -> None:
    job, plan = priced(hostile())
    view = quote_view([(job, plan)], TAXED, replace(BILLING, buyer_address=("x",) * 20))

    assert "buyer: cut to 10 lines." in view.warnings
    assert "dog: cut to 40 characters." in view.warnings
    assert '<img src="file:///etc/passwd">' in words_of(bill.render(view, Paper.A4))
