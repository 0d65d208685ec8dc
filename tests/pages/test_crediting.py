"""A part taken off an invoice on the order's page: the credit note, and sums that are refused."""

import re
from decimal import Decimal
from io import BytesIO

import pytest
from playwright.sync_api import Browser, expect
from pypdf import PdfReader

from tests.pages.site import BEAGLE, Site
from tests.pages.visitor import PHONE, visit

NUMBER = "2027-0001"
NOTE = "C 2027-0001"
REASON = "The rib came out a little loose & wide."

PLAIN = "Write a plain number, such as 5 or 4.5."


def paper(site: Site, number: str) -> str:
    """All that a bill says on paper."""
    answer = site.client.get(f"/api/v1/bills/{number}.pdf")
    assert answer.status_code == 200, answer.text
    pages = PdfReader(BytesIO(answer.content)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def notes(site: Site) -> list[str]:
    """The numbers of the order's credit notes."""
    listed = site.client.get(f"/api/v1/orders/{NUMBER}/money").json()["bills"]
    return [bill["number"] for bill in listed if bill["kind"] == "credit note"]


@pytest.fixture
def billed(site: Site) -> Decimal:
    """An accepted order with its invoice; the sum of it."""
    page = site.take(BEAGLE)
    assert site.number() == NUMBER
    assert not page.forms("/credit")
    page = site.send(page.form("/state").action, page.form("/state").with_(to="accepted"))
    assert not page.forms("/credit")
    site.send(page.form("/invoice").action, page.form("/invoice").values)
    (bill,) = site.client.get(f"/api/v1/orders/{NUMBER}/money").json()["bills"]
    return Decimal(bill["total"])


def credit(site: Site, amount: str, reason: str = REASON, status: int = 200) -> str:
    """Fill the form and send it; return what the page then says."""
    form = site.get(f"/orders/{NUMBER}").form("/credit")
    assert set(form.values) >= {"credit_amount", "credit_reason"}
    sent = form.with_(credit_amount=amount, credit_reason=reason)
    return site.send(form.action, sent, status).section("money")


@pytest.mark.parametrize("typed", ["5.5", "5,50", " 5.50 "])
def test_a_part_is_taken_off_and_printed(site: Site, billed: Decimal, typed: str) -> None:
    money = credit(site, typed)

    assert site.at == f"/orders/{NUMBER}"
    assert f"Credit note {NOTE}" in money
    assert f"Left to pay: {billed - Decimal('5.50')} EUR" in money
    said = paper(site, NOTE)
    assert f"Credit note {NOTE}" in said
    assert "R 2027-0001" in said
    assert "5.50" in said
    assert REASON in said
    assert str(billed) in paper(site, "R 2027-0001")


def test_parts_are_taken_off_until_nothing_is_left(site: Site, billed: Decimal) -> None:
    credit(site, "5.50")
    credit(site, str(billed - Decimal("5.50")), "")

    page = site.get(f"/orders/{NUMBER}")
    assert notes(site) == [NOTE, "C 2027-0002"]
    assert str(billed - Decimal("5.50")) in paper(site, "C 2027-0002")
    assert not page.forms("/credit")
    assert not page.forms("/credit-note")


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        *((typed, PLAIN) for typed in ("", "five", "-5", "1e9", "NaN", "<b>5</b>", "5 EUR")),
        ("0", "more than 0"),
        ("5.555", "Write the sum with as many decimals as the invoice"),
        ("9999", "is left of invoice R 2027-0001."),
    ],
)
def test_a_wrong_sum_is_refused_beside_its_field_and_nothing_is_lost(
    site: Site, billed: Decimal, typed: str, sentence: str
) -> None:
    form = site.get(f"/orders/{NUMBER}").form("/credit")
    sent = form.with_(credit_amount=typed, credit_reason=REASON)
    page = site.send(form.action, sent, 422)

    assert sentence in page.said("credit_amount")
    again = page.form("/credit").values
    assert again["credit_amount"] == [typed]
    assert again["credit_reason"] == [REASON]
    details = next(one for one in page.root.all("details") if "Take a part off" in one.text)
    assert "open" in details.attrs
    assert notes(site) == []
    assert f"Left to pay: {billed} EUR" in page.section("money")


def test_a_part_is_taken_off_on_a_phone(browser: Browser, address: str) -> None:
    """Over a real server: too large a sum comes back with what was typed, then one fits."""
    with visit(browser, address, PHONE) as visitor:
        page = visitor.page
        visitor.go("/orders/2027-0001")
        page.get_by_role("button", name="Write the invoice").click()
        page.get_by_text("Take a part off the invoice").click()
        page.get_by_label("Take off").fill("4000")
        page.get_by_label("What for").fill(REASON)
        page.get_by_role("button", name="Write the credit note").click()
        expect(page.get_by_text("is left of invoice R 2027-")).to_be_visible()
        visitor.check()
        assert "422" in visitor.complaints.pop()
        expect(page.get_by_label("Take off")).to_have_value("4000")
        expect(page.get_by_label("What for")).to_have_value(REASON)
        page.get_by_label("Take off").fill("4.25")
        page.get_by_role("button", name="Write the credit note").click()
        link = page.get_by_role("link", name=re.compile(r"^Credit note C 2027-\d{4} \(PDF\)$"))
        expect(link).to_be_visible()
        visitor.check()
        answer = page.request.get(f"{address}{link.get_attribute('href')}")
        said = PdfReader(BytesIO(answer.body())).pages[0].extract_text()
        assert "4.25" in said
        assert REASON in " ".join(said.split())
