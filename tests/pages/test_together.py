"""Several hoods for one buyer: one quote, one invoice, one parcel; a plan and a ticket each."""

import re
from decimal import Decimal
from io import BytesIO

from playwright.sync_api import Browser, expect
from pypdf import PdfReader

from tests.pages.journey import Journey
from tests.pages.site import BEAGLE, Site
from tests.pages.visitor import PHONE, visit

FIRST, SECOND = "2027-0001", "2027-0002"


def price(site: Site, number: str) -> Decimal:
    """What one hood costs."""
    return Decimal(site.client.get(f"/api/v1/orders/{number}").json()["plan"]["price"]["total"])


def text_of(site: Site, address: str) -> str:
    """All that a paper says."""
    answer = site.client.get(address)
    assert answer.status_code == 200, answer.text
    return " ".join(one.extract_text() for one in PdfReader(BytesIO(answer.content)).pages)


def two(site: Site) -> None:
    """Take an order for Pipkin, and one for Moth to go with it."""
    site.take(BEAGLE | {"due": "2027-04-01", "buyer.address": "1 Lane\nTown"})
    form = site.get(f"/orders/new?with={FIRST}").form()
    assert form.values["due"] == ["2027-04-01"]
    assert form.values["buyer.address"] == ["1 Lane\nTown"]
    moth = {name: [text] for name, text in BEAGLE.items() if not name.startswith("buyer.")}
    moth |= {"dog.name": ["Moth"], "measurements.face_girth": ["39"], "do": ["take"]}
    site.send("/orders/new", form.values | moth)
    assert site.number() == SECOND


def accept(site: Site, number: str) -> None:
    """Say that the buyer agreed."""
    page = site.get(f"/orders/{number}")
    form = page.form("/state")
    site.send(form.action, form.with_(to="accepted"))


def test_two_hoods_of_one_buyer_are_quoted_and_packed_as_one(site: Site) -> None:
    two(site)
    total = price(site, FIRST) + price(site, SECOND)
    page = site.get(f"/orders/{SECOND}")

    assert f"All together: {total} EUR" in page.section("together")
    assert "Pipkin, 2027-0001" in page.section("together")
    assert "It goes together with order 2027-0001." in page.text
    for number in (FIRST, SECOND):
        quote = text_of(site, f"/api/v1/orders/{number}/quote.pdf")
        assert "2 hoods, crocheted to measure" in quote
        assert str(total) in quote
        slip = text_of(site, f"/api/v1/orders/{number}/parcel-slip.pdf")
        assert "Pipkin" in slip
        assert "Moth" in slip
    ticket = text_of(site, f"/api/v1/orders/{SECOND}/work-ticket.pdf")
    assert "Moth" in ticket
    assert "Pipkin" not in ticket


def test_the_mail_says_the_price_of_the_quote_it_carries(site: Site) -> None:
    """Both hoods are in the quote: a mail with the price of one would offer both for it."""
    shop = site.get("/shop").form("/shop")
    site.send("/shop", shop.with_(email="shop@example.org"))
    two(site)
    total = price(site, FIRST) + price(site, SECOND)

    for number in (FIRST, SECOND):
        for code, words in (
            ("en", ("2 hoods for Pipkin and Moth", "for all of them")),
            ("de", ("2 Kapuzen für Pipkin und Moth", "für alle zusammen")),
        ):
            address = f"/orders/{number}/papers/quote?language={code}&to=buyer@example.org"
            page = site.get(address)
            assert all(one in page.text for one in words)
            assert (str(total) if code == "en" else str(total).replace(".", ",")) in page.text
    alone = site.get(f"/orders/{FIRST}/papers/guide?to=buyer@example.org").text
    assert "Moth" not in alone


def test_one_invoice_is_over_both_and_its_credit_note_too(site: Site) -> None:
    two(site)
    total = price(site, FIRST) + price(site, SECOND)
    accept(site, FIRST)
    assert not site.get(f"/orders/{FIRST}").forms("/invoice")
    refused = site.client.post(f"/api/v1/orders/{FIRST}/invoices")
    assert "2027-0002 is “enquiry”" in refused.json()["detail"]
    accept(site, SECOND)
    site.client.post(f"/api/v1/orders/{SECOND}/payments", json={"amount": "20.00"})

    bill = site.client.post(f"/api/v1/orders/{SECOND}/invoices").json()

    assert bill["total"] == str(total)
    assert bill["hoods"] == [FIRST, SECOND]
    for number in (FIRST, SECOND):
        money = site.get(f"/orders/{number}").section("money")
        assert f"Left to pay: {total - 20} EUR" in money
        assert "Invoice R 2027-0001" in money
        again = site.client.post(f"/api/v1/orders/{number}/invoices")
        assert "has invoice R 2027-0001 already" in again.json()["detail"]
    paper = text_of(site, "/api/v1/bills/R 2027-0001.pdf")
    assert "Pipkin" in paper
    assert "Moth" in paper

    apart = site.client.delete(f"/api/v1/orders/{SECOND}/together")
    assert apart.status_code == 409
    assert "Cancel it with a credit note" in apart.json()["detail"]

    form = site.get(f"/orders/{SECOND}").form("/state")
    site.send(form.action, form.with_(to="cancelled"))
    credit = site.client.post(f"/api/v1/orders/{FIRST}/credit-notes").json()
    assert credit["total"] == str(total)
    assert credit["hoods"] == [FIRST, SECOND]
    alone = site.client.post(f"/api/v1/orders/{FIRST}/invoices").json()
    assert alone["total"] == str(price(site, FIRST))
    assert alone["hoods"] == []


def test_orders_are_put_together_and_taken_apart_later(site: Site) -> None:
    site.take(BEAGLE)
    site.take(BEAGLE | {"dog.name": "Moth"})
    form = site.get(f"/orders/{FIRST}").form("/together")
    assert form.values["with"] == [SECOND]

    page = site.send(form.action, form.values)

    assert "Moth, 2027-0002" in page.section("together")
    assert not page.forms("/apart"), "the first one stays"
    away = site.get(f"/orders/{SECOND}").form("/apart")
    page = site.send(away.action, away.values)
    assert "Pipkin" not in page.section("together").split("Put together")[0]
    assert "It no longer goes together with order 2027-0001." in page.text
    assert site.client.get(f"/api/v1/orders/{FIRST}").json()["together"] == []


def test_only_what_can_go_together_does(site: Site) -> None:
    two(site)
    site.take(BEAGLE | {"buyer.name": "Oskar Lindqvist"})
    site.take(BEAGLE | {"dog.name": "Fig"})

    def put(number: str, other: str) -> str:
        answer = site.client.put(f"/api/v1/orders/{number}/together/{other}")
        assert answer.status_code in {404, 409}, answer.text
        return str(answer.json()["detail"])

    assert "Only orders of one buyer" in put("2027-0003", FIRST)
    assert "goes together with others already" in put(SECOND, FIRST)
    assert "goes together with others already" in put(FIRST, FIRST)
    assert "There is no order" in put(FIRST, "2027-0099")
    site.client.post("/api/v1/orders/2027-0004/payments", json={"amount": "5.00"})
    assert "a payment of its own" in put("2027-0004", SECOND)


def test_a_buyer_is_not_changed_under_the_others(site: Site) -> None:
    two(site)
    form = site.get(f"/orders/{SECOND}/edit").form()
    page = site.send(f"/orders/{SECOND}/edit", form.with_(do="take", buyer__name="Else"), 422)
    assert "goes together with others of its buyer" in page.said("buyer.name")
    assert page.form().values["buyer.name"] == ["Else"]


def test_what_cannot_go_together_is_taken_alone_and_loses_nothing(site: Site) -> None:
    site.take(BEAGLE)
    form = site.get(f"/orders/new?with={FIRST}").form()
    moth = {name: [text] for name, text in BEAGLE.items()} | {"dog.name": ["Moth"]}
    sent = form.values | moth | {"buyer.name": ["Oskar Lindqvist"], "do": ["take"]}

    page = site.send("/orders/new", sent, 409)

    assert "Only orders of one buyer go together" in page.text
    assert site.count() == 1
    site.send("/orders/new", page.form().with_(do="take"))
    assert site.number() == SECOND


def test_three_hoods_on_a_phone(browser: Browser, address: str) -> None:
    journey = Journey()
    with visit(browser, address, PHONE) as visitor:
        page = visitor.page
        visitor.go("/orders/2027-0004")
        for number in ("2027-0007", "2027-0008"):
            journey.press(page.get_by_role("link", name="One more for Björn"))
            expect(page.get_by_text("This hood goes together with")).to_be_visible()
            visitor.check()
            journey.press(page.get_by_role("button", name="Take the order"))
            expect(page).to_have_url(re.compile(number))
            visitor.check()
        journey.press(page.get_by_role("button", name="The price is sent: all"))
        expect(page.locator('[aria-current="step"]')).to_have_text("Quoted")
        expect(page.locator(".beside li")).to_have_count(2)
        expect(page.locator(".beside li").first).to_contain_text("Quoted")
        assert journey.inputs == 5


def _days(page: str) -> list[str]:
    """The days by which a page says a hood is with its buyer."""
    return re.findall(r"with the buyer by ([^.]+?), in one parcel with", page)


def test_hoods_of_one_parcel_are_promised_for_one_day_everywhere(site: Site) -> None:
    """The first alone could go days before: but it waits for the other."""
    hours = {f"capacity__hours__{day}": "1" for day in ("monday", "wednesday", "friday")}
    site.send("/shop", site.get("/shop").form("/shop").with_(**hours))
    site.take(BEAGLE | {"due": "2027-04-01"})
    alone = re.findall(r"with the buyer by ([^.]+)\.", site.get(f"/orders/{FIRST}").text)
    asked = site.get(f"/orders/new?with={FIRST}")
    assert "in one parcel with Pipkin" in asked.text
    moth = {name: [text] for name, text in BEAGLE.items() if not name.startswith("buyer.")}
    site.send("/orders/new", asked.form().values | moth | {"dog.name": ["Moth"], "do": ["take"]})

    enquired = [_days(site.get(f"/orders/{one}").text) for one in (FIRST, SECOND)]
    assert enquired[0] == enquired[1] != []
    assert enquired[0] != alone
    for one in (FIRST, SECOND):
        accept(site, one)
    queued = [_days(site.get(f"/orders/{one}").text) for one in (FIRST, SECOND)]
    edited = [_days(site.get(f"/orders/{one}/edit").text) for one in (FIRST, SECOND)]
    assert queued == edited == enquired
    assert "in one parcel with Moth" in site.get("/queue").text
