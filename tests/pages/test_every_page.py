"""What every page promises: accessible, light, and usable by keyboard alone."""

import re
from io import BytesIO

import pytest
from playwright.sync_api import Browser, Page, Response, expect
from pypdf import PdfReader

from service.db import Database
from tests.pages.axe import complaints
from tests.pages.conftest import NOW
from tests.pages.every import ELSEWHERE, PAGES, addresses, made_ready, routes
from tests.pages.visitor import PHONE, WIDE, visit

MOST_BYTES = 100_000
"""What a page may send over the wire, with all that it asks for, uncompressed."""


def test_no_page_is_left_out() -> None:
    assert routes() == PAGES.keys() | ELSEWHERE.keys()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [WIDE, PHONE])
def test_axe_finds_nothing_on_any_page(
    browser: Browser, address: str, demo: Database, width: int, scheme: str
) -> None:
    every = addresses(made_ready(demo, NOW))
    found: list[str] = []
    with visit(browser, address, width, scheme=scheme) as visitor:
        for path in every:
            visitor.go(path)
            found += complaints(visitor.page)
        visitor.complaints = [one for one in visitor.complaints if "404" not in one]
    assert found == []


def test_axe_would_find_a_target_too_small(browser: Browser, address: str) -> None:
    with visit(browser, address, WIDE) as visitor:
        visitor.go("/orders")
        small = "<p><button>a</button><button>b</button></p>"
        visitor.page.evaluate(
            """(html) => {
              document.querySelector("main").insertAdjacentHTML("beforeend", html);
              for (const one of document.querySelectorAll("main p:last-child button")) {
                one.style.cssText = "min-height:0;padding:0;width:8px;height:8px;border:0";
              }
            }""",
            small,
        )
        assert any("target-size" in one for one in complaints(visitor.page))
        visitor.complaints.clear()


def _came(page: Page, address: str) -> list[Response]:
    """Open a page; return all that came for it."""
    came: list[Response] = []

    def note(one: Response) -> None:
        came.append(one)

    page.on("response", note)
    page.goto(address)
    page.wait_for_load_state("networkidle")
    return came


def test_no_page_is_heavier_than_a_hundred_kilobytes(
    browser: Browser, address: str, demo: Database
) -> None:
    weights = {}
    every = addresses(made_ready(demo, NOW))
    for path in every:
        # A new visitor each time: nothing is there from a page before.
        with visit(browser, address, PHONE) as visitor:
            came = _came(visitor.page, address + path)
            weights[path] = sum(len(one.body()) for one in came)
            visitor.complaints.clear()
    assert len(weights) == len(every)
    assert all(one > 1000 for one in weights.values())
    assert {path: one for path, one in weights.items() if one > MOST_BYTES} == {}


def _type(page: Page, label: str, text: str) -> None:
    """Go on with the Tab key until a field has the focus, and type."""
    field = page.get_by_label(label, exact=True)
    for _ in range(60):
        if field.evaluate("(one) => one === document.activeElement"):
            break
        page.keyboard.press("Tab")
    expect(field).to_be_focused()
    assert field.evaluate(
        """(one) => {
          const at = one.getBoundingClientRect();
          const above = document.elementFromPoint(at.x + at.width / 2, at.y + at.height / 2);
          return one.contains(above);
        }"""
    ), f"{label} is in sight while it has the focus"
    page.keyboard.type(text)


@pytest.mark.parametrize("width", [WIDE, PHONE])
def test_an_order_is_taken_by_keyboard_alone(browser: Browser, address: str, width: int) -> None:
    with visit(browser, address, width) as visitor:
        page = visitor.page
        visitor.go("/orders/new")
        for label, text in (
            ("Name", "Bramble"), ("Breed", "Beagle"), ("Weight", "11 kg"),
        ):  # fmt: skip
            _type(page, label, text)
        for label, text in (
            ("1 Neck length", "8"), ("2 Neck girth", "35.5"), ("3 Nape length", "11.5"),
            ("4 Face girth", "38"),
        ):  # fmt: skip
            _type(page, label, text)
        _type(page, "From the shelf", "Brack")
        _type(page, "Name of the buyer", "Oskar Lindqvist")
        page.keyboard.press("Tab")
        expect(page.locator("#shape .total")).to_have_text(re.compile(r"EUR$"))
        button = page.get_by_role("button", name="Take the order")
        for _ in range(60):
            if button.evaluate("(one) => one === document.activeElement"):
                break
            page.keyboard.press("Tab")
        page.keyboard.press("Enter")

        expect(page).to_have_url(re.compile(r"/orders/2027-0007$"))
        expect(page.get_by_role("heading", level=1)).to_have_text("Bramble")
        visitor.check()


def test_a_page_printed_leaves_out_what_can_only_be_pressed(
    browser: Browser, address: str
) -> None:
    with visit(browser, address, WIDE) as visitor:
        visitor.go("/orders/2027-0001")
        page = visitor.page
        expect(page.locator(".top")).to_be_visible()
        page.emulate_media(media="print")
        for hidden in (".top", ".next", ".acts >> nth=0"):
            expect(page.locator(hidden)).to_be_hidden()
        expect(page.locator(".rows").first).to_be_visible()
        ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
        assert ground == "rgb(255, 255, 255)"


@pytest.mark.parametrize("width", [PHONE, WIDE])
def test_a_dog_s_name_stands_where_its_card_begins(
    browser: Browser, address: str, width: int
) -> None:
    with visit(browser, address, width) as visitor:
        visitor.go("/orders")
        card, name = visitor.page.locator(".card a").first, visitor.page.locator(".who").first
        around, inside = card.bounding_box(), name.locator("b").bounding_box()
        assert around
        assert inside
        assert inside["x"] - around["x"] < 30
        assert inside["y"] - around["y"] < 30
        visitor.page.emulate_media(media="print")
        expect(name).to_be_visible()


LATER = """() => [...document.querySelectorAll("main *")].filter((one) =>
  getComputedStyle(one).contentVisibility === "auto").length"""


def test_what_is_laid_out_late_is_printed_and_found(browser: Browser, address: str) -> None:
    with visit(browser, address, PHONE) as visitor:
        visitor.go("/orders/2027-0001")
        page = visitor.page
        assert page.evaluate(LATER) > 5
        # The numbers of all rows, and the last words of the page.
        rows = page.locator(".rows .at").all_text_contents()
        ended = " ".join((page.locator(".history li").last.text_content() or "").split())
        printed = " ".join(one.extract_text() for one in PdfReader(BytesIO(page.pdf())).pages)
        assert len(rows) > 20
        assert ended
        for said in [*rows, ended]:
            assert " ".join(said.split()) in " ".join(printed.split())
        assert page.evaluate("(said) => window.find(said)", ended)
        page.emulate_media(media="print")
        assert page.evaluate(LATER) == 0


def test_a_link_into_what_is_laid_out_late_leads_there(browser: Browser, address: str) -> None:
    with visit(browser, address, PHONE) as visitor:
        visitor.go("/orders/2027-0001")
        visitor.page.get_by_role("link", name="All papers").click()
        expect(visitor.page.get_by_role("heading", name="Papers", exact=True)).to_be_in_viewport()
