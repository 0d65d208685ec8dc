"""Papers of an order: its kept values made into a view, and the view into a PDF.

Each raises `NoPlanError` if a finding still stops the order's plan.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

from documents import bill, care_sheet, measuring_guide, parcel_slip
from documents import stitch_chart as chart_paper
from documents import work_ticket as ticket_paper
from documents.bill_view import BillView, quote_view
from documents.care_sheet import Edition
from documents.care_view import CareView, care_view
from documents.chart_view import chart_view
from documents.guide_view import GuideView, guide_view
from documents.label_view import LabelView, label_view
from documents.language import ENGLISH, language
from documents.page import Paper
from documents.parcel_view import ParcelView, parcel_view
from documents.size_view import SizeView, size_view
from documents.ticket_view import ticket_view
from service.bodies import RatesIn, ShopIn
from service.charging import quote_of
from service.jobs import address_lines, job_of, maker_of, plan_for
from service.orders import Found
from service.planning import rates_of
from service.together import priced
from sizing.pattern import pattern_of
from sizing.stock import Stock, need_of
from sizing.yarns import Yarn


def work_ticket(
    found: Found, shop: ShopIn, paper: Paper, link: str = "", *, buyer: bool = True
) -> bytes:
    """Return the work ticket; `link` is the address of the order's page, for its QR code.

    Without `buyer` it does not say whose hood it is: who helps need not know.
    """
    job = job_of(found, shop, link)
    told = job if buyer else replace(job, buyer="")
    return ticket_paper.render(ticket_view(told, plan_for(found)), paper)


def work_tickets(
    links: Sequence[tuple[Found, str]],
    shop: ShopIn,
    paper: Paper,
    told: Callable[[int], None] | None = None,
) -> bytes:
    """Return the work tickets of some orders as one PDF, each with the link of its QR code.

    `told` is called with the number of tickets that are drawn, after each.
    """
    views = [ticket_view(job_of(found, shop, link), plan_for(found)) for found, link in links]
    return ticket_paper.render_all(views, paper, told)


def stitch_chart(found: Found, shop: ShopIn, paper: Paper) -> bytes:
    """Return the stitch chart of collar and hood, in the mirror for a left-hander."""
    job = job_of(found, shop)
    return chart_paper.render(chart_view(job, plan_for(found), job.hand), paper)


def care_of(found: Found, shop: ShopIn, code: str = "") -> CareView:
    """Return the care sheet's view in a language; in the buyer's where none is named."""
    plan = plan_for(found)
    return care_view(
        job_of(found, shop),
        plan,
        code or language_of(found),
        buttoned=plan.make.buttoned is not None,
        sewn_on=bool(plan.make.add_ons),
    )


def care_paper(
    found: Found, shop: ShopIn, paper: Paper, code: str = "", edition: Edition = Edition.USUAL
) -> bytes:
    """Return the buyer's care and supervision sheet."""
    return care_sheet.render(care_of(found, shop, code), paper, edition)


def quote_of_order(found: Found, shop: ShopIn, code: str = "") -> BillView:
    """Return the quote's view for an order and those beside it, dated by its last change."""
    every = priced(found)
    rates = rates_of(RatesIn.model_validate(every[0].order.rates))
    hoods = [(job_of(one, shop), plan_for(one)) for one in every]
    said = language(code or language_of(found))
    return quote_view(hoods, rates, quote_of(found, shop), said)


def quote(found: Found, shop: ShopIn, paper: Paper, code: str = "") -> bytes:
    """Return the quote."""
    return bill.render(quote_of_order(found, shop, code), paper)


def guide_of(found: Found, shop: ShopIn, code: str = "") -> GuideView:
    """Return the view of the measuring guide for an order's dog; it needs no plan."""
    dog = found.asked.dog.name
    return guide_view(maker_of(shop), language(code or language_of(found)), dog)


def guide(found: Found, shop: ShopIn, paper: Paper, code: str = "") -> bytes:
    """Return the measuring guide for an order's dog."""
    return measuring_guide.render(guide_of(found, shop, code), paper)


def blank_guide(shop: ShopIn, code: str = ENGLISH) -> GuideView:
    """Return the view of the measuring guide for any dog."""
    return guide_view(maker_of(shop), language(code))


def labels_of(orders: list[Found], shop: ShopIn, copies: int, code: str = "") -> LabelView:
    """Return the labels of some hoods, in the first buyer's language where none is named."""
    said = language(code or language_of(orders[0]))
    return label_view([job_of(found, shop) for found in orders], said, copies)


def slip_of(found: Found, shop: ShopIn, code: str = "") -> ParcelView:
    """Return the parcel slip's view, which lists the hoods that go together."""
    lines = address_lines(found.asked.buyer.address)
    said = language(code or language_of(found))
    return parcel_view([job_of(one, shop) for one in found.together], lines, said)


def slip(found: Found, shop: ShopIn, paper: Paper, code: str = "") -> bytes:
    """Return the parcel slip."""
    return parcel_slip.render(slip_of(found, shop, code), paper)


def sizes_of(stock: Stock, yarn: Yarn, shop: ShopIn, day: date, code: str = ENGLISH) -> SizeView:
    """Return the sheet of stock sizes in a yarn, dated by a day."""
    needs = [need_of(pattern_of(size.rows), yarn) for size in stock.table.sizes]
    names = [f"{dog.weight_kg:.0f} kg, {dog.head.value}" for dog in stock.dogs]
    maker, said = maker_of(shop), language(code)
    return size_view(stock.table, needs, names, yarn, maker, day, said, limit=stock.limit)


def language_of(found: Found) -> str:
    """Return the language that an order's buyer reads."""
    return found.asked.language
