"""The week's tickets as one PDF."""

import re
from io import BytesIO

from pypdf import PdfReader

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


def test_the_tickets_are_one_pdf_with_a_bookmark_and_page_numbers_each(demo_site: Site) -> None:
    answer = demo_site.client.get(
        "/api/v1/papers/work-tickets.pdf?order=2027-0001&order=2027-0002&order=2027-0001"
    )

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
    get = demo_site.client.get
    assert get("/api/v1/papers/work-tickets.pdf").status_code == 422
    assert get("/api/v1/papers/work-tickets.pdf?order=2027-0005").status_code == 409
    assert get("/api/v1/papers/work-tickets.pdf?order=2027-0099").status_code == 404


def test_an_empty_shop_says_so(site: Site) -> None:
    site.take(BEAGLE)
    assert "No hood is to be made by then" in site.get("/tickets").text
