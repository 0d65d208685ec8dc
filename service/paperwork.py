"""Papers of an order: its kept values made into a view, and the view into a PDF.

Each raises `NoPlanError` if a finding still stops the order's plan.
"""

from collections.abc import Sequence
from datetime import date

from documents import bill, care_sheet, label_sheet, measuring_guide, parcel_slip
from documents import size_sheet as size_paper
from documents import stitch_chart as chart_paper
from documents import work_ticket as ticket_paper
from documents.bill_view import quote_view
from documents.care_sheet import Edition
from documents.care_view import CareView, care_view
from documents.chart_view import chart_view
from documents.guide_view import guide_view
from documents.label_view import label_view
from documents.language import ENGLISH, language
from documents.page import Paper
from documents.parcel_view import parcel_view
from documents.size_view import size_view
from documents.ticket_view import ticket_view
from service.bodies import OrderIn, RatesIn, ShopIn
from service.charging import quote_of
from service.jobs import address_lines, job_of, maker_of, plan_for
from service.orders import Found
from service.planning import rates_of
from sizing.pattern import pattern_of
from sizing.stock import Stock, need_of
from sizing.yarns import Yarn


def work_ticket(found: Found, shop: ShopIn, paper: Paper, link: str = "") -> bytes:
    """Return the work ticket; `link` is the address of the order's page, for its QR code."""
    return ticket_paper.render(ticket_view(job_of(found, shop, link), plan_for(found)), paper)


def work_tickets(links: Sequence[tuple[Found, str]], shop: ShopIn, paper: Paper) -> bytes:
    """Return the work tickets of some orders as one PDF, each with the link of its QR code."""
    views = [ticket_view(job_of(found, shop, link), plan_for(found)) for found, link in links]
    return ticket_paper.render_all(views, paper)


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


def quote(found: Found, shop: ShopIn, paper: Paper, code: str = "") -> bytes:
    """Return the quote, dated by the order's last change."""
    rates = rates_of(RatesIn.model_validate(found.order.rates))
    hoods = [(job_of(found, shop), plan_for(found))]
    said = language(code or language_of(found))
    return bill.render(quote_view(hoods, rates, quote_of(found, shop), said), paper)


def guide(found: Found, shop: ShopIn, paper: Paper, code: str = "") -> bytes:
    """Return the measuring guide for an order's dog; it needs no plan."""
    dog = OrderIn.model_validate(found.order.asked).dog.name
    return blank_guide(shop, paper, code or language_of(found), dog)


def blank_guide(shop: ShopIn, paper: Paper, code: str = ENGLISH, dog: str = "") -> bytes:
    """Return the measuring guide for any dog."""
    view = guide_view(maker_of(shop), language(code), dog)
    return measuring_guide.render(view, paper)


def labels(orders: list[Found], shop: ShopIn, paper: Paper, copies: int, code: str = "") -> bytes:
    """Return the labels of some hoods, in the first buyer's language where none is named."""
    said = language(code or language_of(orders[0]))
    jobs = [job_of(found, shop) for found in orders]
    return label_sheet.render(label_view(jobs, said, copies), paper)


def slip(found: Found, shop: ShopIn, paper: Paper, code: str = "") -> bytes:
    """Return the parcel slip."""
    lines = address_lines(OrderIn.model_validate(found.order.asked).buyer.address)
    said = language(code or language_of(found))
    return parcel_slip.render(parcel_view([job_of(found, shop)], lines, said), paper)


def sizes(
    stock: Stock, yarn: Yarn, shop: ShopIn, paper: Paper, day: date, code: str = ENGLISH
) -> bytes:
    """Return the sheet of stock sizes in a yarn, dated by a day."""
    needs = [need_of(pattern_of(size.rows), yarn) for size in stock.table.sizes]
    names = [f"{dog.weight_kg:.0f} kg, {dog.head.value}" for dog in stock.dogs]
    view = size_view(stock.table, needs, names, yarn, maker_of(shop), day, language(code))
    return size_paper.render(view, paper)


def language_of(found: Found) -> str:
    """Return the language that an order's buyer reads."""
    return OrderIn.model_validate(found.order.asked).language
