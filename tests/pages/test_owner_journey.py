"""The owner's journey in a browser: from the maker's page to the numbers taken over."""

import re
from collections.abc import Generator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.pages.test_care_page import AXE, RULES, RUN
from tests.pages.visitor import PHONE, WIDE, Visitor, visit

ORDER = "/orders/2027-0005"
FEIJAO = {"neck_length": ("8", "8.2"), "nape_length": ("11", "11.2"), "face_girth": ("37", "37.4")}
both = pytest.mark.parametrize("script", [True, False])
widths = pytest.mark.parametrize("width", [WIDE, PHONE])


def _field(page: Page, name: str, time: int) -> Locator:
    return page.locator(f'[id="{name}.{time}"]')


def _said(page: Page, name: str) -> Locator:
    return page.locator(f"#said-{name}")


def _accessible(page: Page) -> None:
    """Hold a page to axe-core; what a page's own policy forbids, the browser's owner may add."""
    page.evaluate(AXE)
    found = page.evaluate(RUN, RULES)
    assert found["violations"] == [], page.url
    assert found["passes"] > 10


def _press(page: Page, name: str) -> None:
    """Press a button, and wait for the page that comes of it."""
    with page.expect_navigation():
        page.get_by_role("button", name=name).click()


def _link(visitor: Visitor, tongue: str = "English") -> str:
    """Make a link on the order's page; return its path."""
    page = visitor.page
    visitor.go(ORDER)
    page.get_by_text("Ask the owner to measure").click()
    page.get_by_label("The owner reads").select_option(tongue)
    visitor.follow(page.get_by_role("button", name="Make a link"))
    message = page.get_by_label("A message to send").input_value()
    address = page.get_by_label("Or the link alone").input_value()
    assert address in message
    return address.removeprefix(visitor.address)


def _measure(visitor: Visitor, way: str) -> None:
    """Type the three sound lengths, each twice."""
    visitor.go(way)
    for name, twice in FEIJAO.items():
        for time, text in enumerate(twice, 1):
            _field(visitor.page, name, time).fill(text)


@both
def test_from_the_maker_to_the_owner_and_back(
    browser: Browser, address: str, *, script: bool
) -> None:
    with visit(browser, address, PHONE, script=script) as visitor:
        page = visitor.page
        way = _link(visitor)
        _measure(visitor, way)
        for time in (1, 2):
            _field(page, "neck_girth", time).fill("14.5")
        if not script:
            page.get_by_role("button", name="Look at my numbers first").click()
        kind = "Please measure round the neck again: about 35 cm would be usual for a Beagle."
        expect(_said(page, "neck_girth")).to_contain_text(kind)
        expect(_said(page, "face_girth")).to_contain_text("go well together: 37.2 cm")
        visitor.check()

        page.get_by_role("button", name="Send the numbers").click()
        expect(page.get_by_role("alert")).to_contain_text("look once more")
        _field(page, "neck_girth", 1).fill("35")
        _field(page, "neck_girth", 2).fill("35.4 cm")
        page.get_by_role("button", name="I have looked: send it").click()
        expect(page.get_by_role("status")).to_contain_text("your numbers have arrived")
        visitor.check()

        visitor.go(ORDER)
        expect(page.get_by_role("link", name="Work ticket (PDF)")).to_have_count(0)
        row = page.get_by_role("row", name="Neck girth")
        expect(row).to_contain_text("14.5 cm")
        expect(row).to_contain_text("35.2 cm taken twice: “35” and “35.4 cm”")
        page.get_by_role("button", name="Take these numbers over").click()

        expect(page.locator("#neck_girth")).to_contain_text("35.2 cm")
        expect(page.get_by_role("link", name="Work ticket (PDF)").first).to_be_visible()
        expect(page.locator(".history")).to_contain_text("neck girth from “14.5” to “35.2 cm”")
        visitor.check()
        visitor.go(way)
        expect(page.get_by_role("heading", level=1)).to_have_text("Thank you")


@both
def test_another_language_keeps_what_was_typed(
    browser: Browser, address: str, *, script: bool
) -> None:
    with visit(browser, address, PHONE, script=script) as visitor:
        page = visitor.page
        visitor.go(_link(visitor))
        page.get_by_label("inches").check()
        _field(page, "neck_girth", 2).fill("14 1/4")
        _press(page, "Deutsch")
        expect(page.get_by_role("heading", level=1)).to_have_text("Feijão für eine Kapuze messen")
        expect(_field(page, "neck_girth", 2)).to_have_value("14 1/4")
        expect(page.get_by_label("Zoll")).to_be_checked()
        expect(page.get_by_role("alert")).to_have_count(0)
        visitor.check()
        _press(page, "English")
        expect(_field(page, "neck_girth", 2)).to_have_value("14 1/4")
        visitor.go("/shop")
        page.get_by_label("The page /ask is open").check()
        visitor.follow(page.get_by_role("button", name="Save"))
        visitor.go("/ask")
        page.get_by_label("Your name").fill("Perpetua")
        _press(page, "Deutsch")
        expect(page.get_by_label("Dein Name")).to_have_value("Perpetua")
        expect(page.get_by_role("alert")).to_have_count(0)


def test_what_was_typed_waits_on_the_owner_s_phone_until_it_is_sent(
    browser: Browser, address: str
) -> None:
    with visit(browser, address, PHONE) as visitor:
        page = visitor.page
        way = _link(visitor)
        _measure(visitor, way)
        page.get_by_label("inches").check()
        page.get_by_label("centimetres").check()
        visitor.go("/")  # as when a phone drops the page
        visitor.go(way)
        expect(_field(page, "face_girth", 2)).to_have_value("37.4")
        expect(_said(page, "face_girth")).to_contain_text("go well together: 37.2 cm")
        _field(page, "neck_girth", 1).fill("35")
        _field(page, "neck_girth", 2).fill("35")
        _press(page, "Send the numbers")
        expect(page.get_by_role("status")).to_contain_text("have arrived")
        assert (
            page.evaluate("Object.keys(localStorage).filter((k) => k.startsWith('owner'))") == []
        )


def test_what_is_still_to_be_put_right_is_led_to_from_above(
    browser: Browser, address: str
) -> None:
    with visit(browser, address, PHONE, script=False) as visitor:
        page = visitor.page
        _measure(visitor, _link(visitor))
        _field(page, "face_girth", 1).fill("a hand")
        _press(page, "Send the numbers")
        banner = page.get_by_role("alert")
        expect(banner.get_by_role("link")).to_have_text(["Round the face"])
        banner.get_by_role("link").click()
        expect(_field(page, "face_girth", 1)).to_be_in_viewport()
        _field(page, "face_girth", 1).fill("14 1/2 in")
        _press(page, "Send the numbers")
        expect(page.get_by_role("alert").get_by_role("link")).to_have_text(["Round the neck"])
        visitor.complaints.clear()  # the browser's own, on 422


def test_a_length_in_the_other_unit_stands_in_both_beside_the_order_s(
    browser: Browser, address: str
) -> None:
    with visit(browser, address, PHONE) as visitor:
        page = visitor.page
        visitor.go(_link(visitor))
        page.get_by_label("inches").check()
        _field(page, "face_girth", 1).fill("14 1/2")
        _field(page, "face_girth", 2).fill("14.5")
        _press(page, "Send the numbers")
        _press(page, "It is right as it is")
        visitor.go(ORDER)
        row = page.get_by_role("row", name="Face girth")
        expect(row).to_contain_text("14 1/2 in = 36.85 cm taken twice")  # 14.5 times 25.4 mm


def test_the_maker_leaves_the_order_as_it_is_and_takes_the_link_back(
    browser: Browser, address: str
) -> None:
    with visit(browser, address, PHONE) as visitor:
        page = visitor.page
        way = _link(visitor)
        _measure(visitor, way)
        page.get_by_role("button", name="Send the numbers").click()
        expect(_said(page, "neck_girth")).to_contain_text("still missing")
        page.get_by_role("button", name="It is right as it is").click()
        expect(page.get_by_role("status")).to_contain_text("have arrived")
        visitor.go(ORDER)
        page.get_by_role("button", name="Leave the order as it is").click()
        expect(page.locator(".measured")).to_have_count(0)
        expect(page.locator("#neck_girth")).to_contain_text("14.5 cm")
        page.get_by_role("button", name="Take it back").click()
        expect(page.get_by_role("button", name="Take it back")).to_have_count(0)

        page.goto(address + way)
        expect(page.get_by_role("heading", level=1)).to_have_text("Nothing here")
        assert all("404" in said for said in visitor.complaints)
        visitor.complaints.clear()


def test_what_cannot_be_read_is_said_as_it_is_typed(browser: Browser, address: str) -> None:
    with visit(browser, address, WIDE) as visitor:
        page = visitor.page
        visitor.go(_link(visitor, "Deutsch"))
        first, second = (_field(page, "face_girth", time) for time in (1, 2))
        first.fill("eine Hand")
        expect(_said(page, "face_girth")).to_contain_text("Schreib es bitte so: 36,5 cm.")
        expect(first).to_have_attribute("aria-invalid", "true")
        expect(second).to_have_attribute("aria-invalid", "false")
        first.fill('<img src=x onerror="document.title=1">')
        expect(page.locator("main img")).to_have_count(0)
        first.fill("37,5")
        expect(_said(page, "face_girth")).to_contain_text(
            "Danke. Und nun bitte dasselbe noch einmal."
        )
        expect(first).to_have_attribute("aria-invalid", "false")


@widths
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_owner_s_pages_are_accessible(
    browser: Browser, address: str, width: int, scheme: str
) -> None:
    with visit(browser, address, width, scheme=scheme) as visitor:
        page = visitor.page
        way = _link(visitor)
        _accessible(page)
        _measure(visitor, way)
        _field(page, "neck_girth", 1).fill("a hand")
        expect(_said(page, "neck_girth")).to_contain_text("cannot read")
        page.locator("summary").click()
        visitor.check()
        _accessible(page)
        _press(page, "Send the numbers")
        _accessible(page)
        _field(page, "neck_girth", 1).fill("14.5")
        _press(page, "Send the numbers")
        _accessible(page)
        _press(page, "It is right as it is")
        _accessible(page)
        visitor.go(ORDER)
        expect(page.locator(".measured .finding").first).to_be_visible()
        visitor.check()
        _accessible(page)
        page.goto(f"{address}/measure/none")
        _accessible(page)
        visitor.check()
        visitor.complaints.clear()  # the browser's own, on 422 and 404


@both
@widths
def test_a_stranger_asks_and_the_maker_looks(
    browser: Browser, lively: str, width: int, *, script: bool
) -> None:
    with visit(browser, lively, width, script=script) as visitor:
        page = visitor.page
        visitor.go("/shop")
        page.get_by_label("The page /ask is open").check()
        visitor.follow(page.get_by_role("button", name="Save"))
        visitor.go("/ask")
        expect(page.get_by_label("Leave this empty")).not_to_be_in_viewport()
        page.get_by_label("Your name").fill("Perpetua Quill")
        page.get_by_label("Your e-mail").fill("perpetua@quill.example")
        page.get_by_label("Name of your dog").fill("Nutkin")
        page.get_by_label("Round the neck").fill("a hand")
        page.get_by_role("button", name="Send it").click()
        expect(page.locator('[id="said-neck_girth.1"]')).to_contain_text("Write it like this")
        visitor.check()
        page.get_by_role("button", name="It is right as it is").click()
        expect(page.get_by_text("Your words have arrived")).to_be_visible()
        visitor.check()

        visitor.go("/")  # today's page leads there too
        expect(page.get_by_role("link", name="Look at an enquiry from strangers")).to_be_visible()
        visitor.go("/orders")
        visitor.follow(
            page.get_by_role("link", name=re.compile("From strangers, not looked at: 1"))
        )
        visitor.follow(page.get_by_role("link", name=re.compile("Nutkin")))
        expect(page.get_by_label("A message to ask back")).to_have_value(re.compile("a hand"))
        page.get_by_role("link", name="Take it as an order").click()
        expect(page.get_by_label("Name of the buyer")).to_have_value("Perpetua Quill")
        visitor.check()


def test_the_pages_for_enquiries_are_accessible(browser: Browser, lively: str) -> None:
    with visit(browser, lively, PHONE) as visitor:
        page = visitor.page
        visitor.go("/shop")
        page.get_by_label("The page /ask is open").check()
        page.get_by_role("button", name="Save").click()
        for path in ("/ask", "/ask?language=de", "/ask/thanks", "/enquiries"):
            visitor.go(path)
            _accessible(page)
        visitor.go("/ask")
        page.get_by_role("button", name="Send it").click()
        expect(page.get_by_role("alert")).to_be_visible()
        _accessible(page)
        for name, text in (("Your name", "Perpetua"), ("Your e-mail", "p@quill.example")):
            page.get_by_label(name).fill(text)
        for label in (
            "Along the neck",
            "Round the neck",
            "Up the back of the head",
            "Round the face",
        ):
            page.get_by_role("textbox", name=label).fill("30")
        page.get_by_role("button", name="Send it").click()
        page.get_by_role("button", name="It is right as it is").click()
        expect(page.get_by_text("Your words have arrived")).to_be_visible()
        visitor.go("/enquiries")
        visitor.follow(page.get_by_role("link", name=re.compile("not looked at")))
        _accessible(page)
        visitor.complaints.clear()  # the browser's own, on 422


@contextmanager
def _elsewhere(inside: str) -> Generator[str]:
    """Serve another site, with a page that shows an address inside; yield its origin."""
    page = f'<!doctype html><title>x</title><iframe src="{inside}" width="800" height="900">'

    class Answer(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(page.encode())

        def log_message(self, *_: object) -> None:  # says nothing
            pass

    with ThreadingHTTPServer(("127.0.0.1", 0), Answer) as server:
        Thread(target=server.serve_forever).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


def test_another_site_shows_the_form_only_when_it_is_listed(browser: Browser, lively: str) -> None:
    with (
        _elsewhere(f"{lively}/ask") as other,
        visit(browser, lively, WIDE) as visitor,
    ):
        page = visitor.page
        heading = page.frame_locator("iframe").get_by_role("heading", level=1)
        for listed, seen in (("", 0), (other, 1)):
            visitor.go("/shop")
            page.get_by_label("The page /ask is open").check()
            page.get_by_label("Websites that may show").fill(listed)
            visitor.follow(page.get_by_role("button", name="Save"))
            page.goto(other)
            expect(heading).to_have_count(seen)
        expect(heading).to_have_text("Ask for a hood for your dog")
        frame = page.frame_locator("iframe")
        frame.get_by_label("Your name").fill("Perpetua Quill")
        frame.get_by_label("Your e-mail").fill("perpetua@quill.example")
        frame.get_by_role("button", name="Send it").click()
        frame.get_by_role("button", name="It is right as it is").click()
        expect(heading).to_have_text("Thank you")
        assert any("frame-ancestors" in said for said in visitor.complaints)
        visitor.complaints.clear()
        visitor.asked.clear()
