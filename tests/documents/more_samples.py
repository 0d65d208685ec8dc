"""The papers beside ticket and care sheet, made from the sample orders."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache

from documents import (
    bill,
    label_sheet,
    measuring_guide,
    parcel_slip,
    size_sheet,
    stitch_chart,
)
from documents.bill_view import credit_note_view, invoice_view, quote_view
from documents.billing import Billing
from documents.chart_view import chart_view
from documents.guide_view import guide_view
from documents.label_view import label_view
from documents.page import Paper
from documents.parcel_view import parcel_view
from documents.size_view import SizeView, size_view
from sizing.dogs import Field, HeadType
from sizing.gauge import default_gauge
from sizing.machine import replay
from sizing.material import YarnNeed, yarn_need
from sizing.pattern import pattern_of
from sizing.pieces import pieces_of
from sizing.price import price_of
from sizing.rates import Rates
from sizing.sizes import SizeTable, StockSize
from sizing.yarns import Yarn
from tests.documents.samples import Order
from tests.sizing.strategies import of_weight
from tests.sizing.test_sizes import table_of

TAXED = Rates(
    tax=Decimal("0.19"),
    deposit=Decimal("0.4"),
    discount=Decimal("0.05"),
    fee_share=Decimal("0.03"),
    overhead=Decimal("0.13"),
)
BILLING = Billing(
    number="2026-0117",
    issued=date(2026, 11, 25),
    buyer_address=("4 Lime Street", "Port Ellory"),
    valid_until=date(2026, 12, 9),
    pay_by=date(2026, 12, 12),
    terms="40 % before the work begins, the rest before the hood is sent.",
    payment_note="By bank transfer to account 12 34 56, Ashby Savings.",
    reference="Mokka, winter",
    tax_number="T-998",
)
KILOS = [2.0, 4.0, 7.0, 11.0, 18.0, 30.0, 48.0]


def priced(made: Order, rates: Rates = TAXED) -> Order:
    """The order, its price by the rates given."""
    job, plan = made
    return job, replace(plan, price=price_of(plan.yarn, job.yarn, plan.labour, rates))


def billed(made: Order, **changes: object) -> Billing:
    """A billing whose texts are as wild as the order's own."""
    wild = len(made[0].buyer) > 100 or not made[0].buyer.isascii()
    text = made[0].buyer
    if wild:
        changes = {
            "number": text, "terms": text, "payment_note": text, "reference": text,
            "tax_number": text, "buyer_address": (text,) * 12, **changes,
        }  # fmt: skip
    return replace(BILLING, **changes)  # type: ignore[arg-type]  # fields by their names


def quote(made: Order, paper: Paper = Paper.A4) -> bytes:
    return bill.render(quote_view([priced(made)], TAXED, billed(made)), paper)


def invoice(made: Order, paper: Paper = Paper.A4) -> bytes:
    view = invoice_view([priced(made)], TAXED, billed(made, paid=Decimal(20)))
    return bill.render(view, paper)


def credit(made: Order, paper: Paper = Paper.A4) -> bytes:
    cancels = {"cancels": "2026-0099", "cancels_date": date(2026, 11, 2), "paid": Decimal("20.5")}
    return bill.render(credit_note_view([made], Rates(), billed(made, **cancels)), paper)


def guide(made: Order, paper: Paper = Paper.A4) -> bytes:
    return measuring_guide.render(guide_view(made[0].maker, dog=made[0].dog), paper)


def labels(made: Order, paper: Paper = Paper.A4) -> bytes:
    return label_sheet.render(label_view([made[0]], copies=9), paper)


def parcel(made: Order, paper: Paper = Paper.A4) -> bytes:
    text = made[0].buyer
    lines = (text,) * 12 if len(text) > 100 else ("4 Lime Street", "Port Ellory", "PE1 9ZZ")
    return parcel_slip.render(parcel_view([made[0]], lines, extras=("5 m of yarn", text)), paper)


def chart(made: Order, paper: Paper = Paper.A4) -> bytes:
    return stitch_chart.render(chart_view(*made), paper)


@cache
def stock() -> SizeTable:
    middle = dict.fromkeys(Field, 0.5)
    return table_of([of_weight(kg, HeadType.MEDIUM, middle) for kg in KILOS])


def need_of(size: StockSize, yarn: Yarn) -> YarnNeed:
    pattern = pattern_of(size.rows)
    return yarn_need(replay(pattern), yarn, default_gauge(yarn), None, pieces=pieces_of(pattern))


def sized(made: Order) -> SizeView:
    job = made[0]
    names = [f"{job.dog[:4000]}, {kilos:g} kg" for kilos in KILOS]
    needs = [need_of(size, job.yarn) for size in stock().sizes]
    return size_view(stock(), needs, names, job.yarn, job.maker, job.issued, limit=0.6)


def sizes(made: Order, paper: Paper = Paper.A4) -> bytes:
    return size_sheet.render(sized(made), paper)


MORE: dict[str, Callable[[Order, Paper], bytes]] = {
    "quote": quote,
    "invoice": invoice,
    "credit": credit,
    "guide": guide,
    "labels": labels,
    "parcel": parcel,
    "sizes": sizes,
    "chart": chart,
}
