"""The week's tickets as one PDF."""

import re
from collections.abc import Callable
from io import BytesIO
from threading import Event
from time import monotonic, sleep

import pytest
from httpx2 import Response
from pypdf import PdfReader

from documents.page import Paper
from service import errands, paperwork
from service.bodies import ShopIn
from service.orders import Found
from tests.pages.site import BEAGLE, Site


def test_the_hoods_of_the_week_are_offered_and_the_rest_counted(demo_site: Site) -> None:
    page = demo_site.get("/tickets?to=2027-03-12")
    boxes = [
        one.attrs["value"] for one in page.root.all("input") if one.attrs["type"] == "checkbox"
    ]
    assert boxes == ["2027-0001"]
    assert page.unlabelled() == []

    later = demo_site.get("/tickets?to=2027-03-17").text
    assert "Pipkin" in later
    assert "Duchess" in later
    assert "Pipkin" not in demo_site.get("/tickets?from=2027-03-13&to=2027-03-17").text
    assert "2 more wait" in demo_site.get("/tickets?to=2027-03-02").text
    assert "Until" in demo_site.get("/tickets?from=soon&to=never").text


def posted(site: Site, *orders: str) -> Response:
    """Press Print with these hoods ticked."""
    form = site.get("/tickets?to=2027-03-17").form("/tickets")
    return site.client.post("/tickets", data=form.with_(order=list(orders)))


def test_the_tickets_are_one_pdf_with_a_bookmark_and_page_numbers_each(demo_site: Site) -> None:
    answer = posted(demo_site, "2027-0001", "2027-0002", "2027-0001")

    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/pdf"
    reader = PdfReader(BytesIO(answer.content))
    texts = [one.extract_text() for one in reader.pages]
    numbers = [re.search(r"page (\d) of (\d)", text) for text in texts]
    counted = [(int(one[1]), int(one[2])) for one in numbers if one]
    assert counted == [
        (number, total)
        for total in (counted[0][1], counted[-1][1])
        for number in range(1, total + 1)
    ]
    tops = [one for one in reader.outline if not isinstance(one, list)]
    assert [str(one["/Title"]) for one in tops] == [
        "Work ticket, hood 2027-0001",
        "Work ticket, hood 2027-0002",
    ]
    assert reader.get_destination_page_number(tops[1]) == counted[0][1]
    alone = demo_site.client.get("/api/v1/orders/2027-0001/work-ticket.pdf").content
    assert len(PdfReader(BytesIO(alone)).pages) == counted[0][1]


def test_an_order_without_a_plan_or_none_at_all_is_refused(demo_site: Site) -> None:
    def sent(*orders: str) -> tuple[int, str]:
        answer = posted(demo_site, *orders)
        return answer.status_code, answer.text

    assert sent()[0] == 422
    assert "Tick the hoods" in sent()[1]
    assert sent("2027-0005")[0] == 409
    assert "has no plan yet" in sent("2027-0001", "2027-0005")[1]
    assert sent("2027-0099")[0] == 404


def test_many_tickets_show_how_far_they_are_and_are_kept_for_a_day(
    demo_site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    may_end, drawn = Event(), paperwork.work_tickets

    def slowly(
        links: list[tuple[Found, str]], shop: ShopIn, paper: Paper, told: Callable[[int], None]
    ) -> bytes:
        told(1)
        assert may_end.wait(20)
        return drawn(links, shop, paper, told)

    monkeypatch.setattr(paperwork, "work_tickets", slowly)
    monkeypatch.setattr(errands, "WAIT", 0.2)
    answer = posted(demo_site, "2027-0001", "2027-0002")

    assert answer.headers["refresh"] == "2"
    assert "1 of 2 tickets" in answer.text
    where = answer.url.path
    number = where.rsplit("/", 1)[1]
    pdf = f"/api/v1/prints/{number}/tickets.pdf"
    assert "not all drawn yet" in demo_site.client.get(pdf).json()["detail"]
    assert demo_site.client.get(f"/api/v1/prints/{number}").json() == {
        "id": int(number), "done": 1, "whole": 2, "over": False, "wrong": "",
    }  # fmt: skip
    may_end.set()
    until = monotonic() + 20
    while "are drawn" not in (shown := demo_site.get(where)).text:
        assert monotonic() < until
        sleep(0.01)
    assert "refresh" not in demo_site.client.get(where).headers
    assert pdf in shown.links()
    assert len(PdfReader(BytesIO(demo_site.client.get(pdf).content)).pages) >= 2
    demo_site.get("/tickets/prints/99", 404)


def test_an_empty_shop_says_so(site: Site) -> None:
    site.take(BEAGLE)
    assert "No hood is to be made by then" in site.get("/tickets").text
