"""The journey of an order in a real browser, on a desk and on a phone, with script and without."""

import re

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.pages.visitor import PHONE, WIDE, Visitor, visit

LENGTHS = {"neck_length": "8", "neck_girth": "14.5", "nape_length": "11.5", "face_girth": "38"}
PAGES = ("/", "/orders/new", "/orders/2027-0001", "/orders/2027-0005", "/orders/2027-0002/edit",
         "/yarns", "/yarns/1", "/yarns/shopping?asked=1", "/queue", "/shop", "/bring-in",
         "/orders", "/orders?q=nobody")  # fmt: skip
widths = pytest.mark.parametrize("width", [WIDE, PHONE])


def _field(page: Page, name: str) -> Locator:
    return page.locator(f'[name="{name}"]')


def _said(page: Page, name: str) -> Locator:
    return page.locator(f'[id="said-measurements.{name}"]')


def _fill(visitor: Visitor) -> None:
    page = visitor.page
    visitor.go("/")
    page.get_by_role("link", name="Take an order").last.click()
    page.get_by_label("Name", exact=True).fill("Bramble")
    page.get_by_label("Breed").fill("Beagle")
    page.get_by_label("Weight", exact=True).fill("11 kg")
    for name, text in LENGTHS.items():
        _field(page, f"measurements.{name}").fill(text)
    page.get_by_label("From the shelf").select_option(label="Brackwater Aran, lot K 214")
    page.get_by_label("Name of the buyer").fill("Oskar Lindqvist")


def _print(page: Page, name: str) -> bytes:
    """Get the paper that a link leads to; a headless browser would only store it."""
    link = page.get_by_role("link", name=name).get_attribute("href")
    assert link
    answer = page.request.get(re.sub(r"(https?://[^/]+)/.*", r"\1", page.url) + link)
    assert answer.status == 200
    assert answer.headers["content-type"] == "application/pdf"
    body = answer.body()
    assert body.startswith(b"%PDF")
    return body


def _arrive(visitor: Visitor) -> None:
    """Take the order, and hold its page to a pattern, a price and two papers."""
    page = visitor.page
    page.get_by_role("button", name="Take the order").click()
    expect(page).to_have_url(re.compile(r"/orders/2027-0007$"))
    expect(page.get_by_role("heading", level=1)).to_have_text("Bramble")
    visitor.check()
    expect(page.locator("#neck_girth")).to_contain_text("36.85 cm")
    expect(page.locator(".rows .run").first).to_contain_text("in the back loop of each st")
    expect(page.locator(".rows .shaped").first).to_contain_text("2 dec over the next 4 sts")
    expect(page.locator(".total").first).to_have_text(re.compile(r"^\d+\.\d\d EUR$"))
    assert _print(page, "Work ticket (PDF)")
    assert _print(page, "Care sheet (PDF)")


@widths
def test_a_wrong_number_is_found_as_it_is_typed(
    browser: Browser, address: str, width: int
) -> None:
    with visit(browser, address, width) as visitor:
        page = visitor.page
        _fill(visitor)

        finding = _said(page, "neck_girth")
        expect(finding).to_contain_text("14.5 looks like inches: 36.85 cm? That is likely (")
        expect(finding).to_contain_text("beside the other numbers")
        visitor.check()
        finding.get_by_role("button", name="use 36.85 cm").click()

        expect(_field(page, "measurements.neck_girth")).to_have_value("36.85 cm")
        expect(finding).to_be_empty()
        _arrive(visitor)


def test_a_wrong_head_girth_is_found_among_what_is_folded_away(
    browser: Browser, address: str
) -> None:
    with visit(browser, address, PHONE) as visitor:
        page = visitor.page
        _fill(visitor)
        page.get_by_text("Two more, where they were taken").click()
        _field(page, "measurements.head_girth").fill("15.75")

        finding = _said(page, "head_girth")
        expect(finding).to_contain_text("15.75 looks like inches: 40.0 cm?")
        visitor.check()
        finding.get_by_role("button", name="use 40.0 cm").click()

        expect(_field(page, "measurements.head_girth")).to_have_value("40.0 cm")
        expect(finding).to_be_empty()


@widths
def test_the_same_journey_without_script(browser: Browser, address: str, width: int) -> None:
    with visit(browser, address, width, script=False) as visitor:
        page = visitor.page
        _fill(visitor)

        page.get_by_role("button", name="Check the numbers").last.click()
        finding = _said(page, "neck_girth")
        expect(finding).to_contain_text("14.5 looks like inches: 36.85 cm?")
        finding.get_by_role("button", name="use 36.85 cm").click()

        expect(_field(page, "measurements.neck_girth")).to_have_value("36.85 cm")
        expect(_said(page, "neck_girth").locator(".finding")).to_have_count(0)
        expect(page.get_by_label("Name of the buyer")).to_have_value("Oskar Lindqvist")
        _arrive(visitor)


def test_a_stop_is_settled_on_the_order_s_page(browser: Browser, address: str) -> None:
    with visit(browser, address, PHONE) as visitor:
        page = visitor.page
        _fill(visitor)
        page.get_by_role("button", name="Take the order").click()
        page.get_by_role("link", name="Settle the neck girth").click()
        expect(page.get_by_role("link", name="Work ticket (PDF)")).to_have_count(0)

        page.get_by_role("button", name="Correct it").click()

        expect(page.locator("#neck_girth")).to_contain_text("36.85 cm")
        assert _print(page, "Work ticket (PDF)")
        page.get_by_role("button", name="The price is sent").click()
        expect(page.locator('[aria-current="step"]')).to_have_text("Quoted")
        visitor.check()


def test_what_is_said_of_one_number_gives_way_as_more_are_typed(
    browser: Browser, address: str
) -> None:
    with visit(browser, address, PHONE) as visitor:
        page = visitor.page
        visitor.go("/orders/new")
        page.get_by_label("Breed").fill("Beagle")
        _field(page, "measurements.neck_girth").fill("20.5")
        finding = _said(page, "neck_girth")
        expect(finding).to_contain_text("20.5 cm is small for the neck girth of a Beagle. About")

        for name, text in (("neck_length", "5"), ("nape_length", "6.5"), ("face_girth", "21")):
            _field(page, f"measurements.{name}").fill(text)

        expect(finding).to_be_empty()
        breed = page.locator('[id="said-dog.breed"]')
        expect(breed).to_contain_text("The lengths agree with one another")
        page.get_by_label("Breed").fill("")
        expect(breed).to_be_empty()
        visitor.check()


def test_one_true_number_alone_is_left_in_peace(browser: Browser, address: str) -> None:
    with visit(browser, address, WIDE) as visitor:
        page = visitor.page
        visitor.go("/orders/new")
        page.get_by_label("Breed").fill("Beagle")
        for name, text in (LENGTHS | {"neck_girth": "35.5"}).items():
            with page.expect_response("**/api/v1/checks"):
                _field(page, f"measurements.{name}").fill(text)
            expect(page.locator(".taken .finding")).to_have_count(0)


@widths
def test_the_message_to_the_owner_can_be_copied(
    browser: Browser, address: str, width: int
) -> None:
    with visit(browser, address, width) as visitor:
        visitor.go("/orders/2027-0005")
        page = visitor.page
        message = page.get_by_label("A message to the owner")
        expect(message).to_have_value(re.compile("^Could you measure Feijão's neck again, please"))
        expect(message).not_to_be_editable()
        seen = message.evaluate("(one) => one.scrollHeight - one.clientHeight")
        assert seen <= 1, "the whole message is in sight"

        page.get_by_role("button", name="Copy").click()

        expect(page.locator(".ask [role=status]")).to_have_text(re.compile("copy|Copied"))
        marked = message.evaluate("(one) => one.value.slice(one.selectionStart, one.selectionEnd)")
        assert marked == message.input_value()


def test_the_message_stands_there_without_script(browser: Browser, address: str) -> None:
    with visit(browser, address, PHONE, script=False) as visitor:
        visitor.go("/orders/2027-0005")
        expect(visitor.page.get_by_label("A message to the owner")).to_be_visible()
        expect(visitor.page.get_by_role("button", name="Copy")).to_be_hidden()


def test_what_cannot_be_read_is_said_and_the_rest_still_checked(
    browser: Browser, address: str
) -> None:
    with visit(browser, address, WIDE) as visitor:
        page = visitor.page
        _fill(visitor)
        _field(page, "measurements.face_girth").fill("a hand")

        expect(_said(page, "face_girth")).to_contain_text("“a hand” is not a measurement")
        expect(_said(page, "neck_girth")).to_contain_text("looks like inches")
        expect(_field(page, "measurements.face_girth")).to_have_attribute("aria-invalid", "true")
        _field(page, "measurements.face_girth").fill("38")
        expect(_said(page, "face_girth")).to_be_empty()
        # The browser itself reports each answer with status 422.
        assert all("422" in said for said in visitor.complaints)
        visitor.complaints.clear()


def test_the_unit_is_part_of_the_check(browser: Browser, address: str) -> None:
    with visit(browser, address, WIDE) as visitor:
        _fill(visitor)
        expect(_said(visitor.page, "neck_girth")).to_contain_text("looks like inches")
        visitor.page.get_by_label("inches").check()
        expect(_said(visitor.page, "neck_girth")).to_be_empty()
        expect(_said(visitor.page, "face_girth")).to_contain_text("38 looks like centimetres")


def test_typed_text_is_shown_as_text_by_the_script(browser: Browser, address: str) -> None:
    with visit(browser, address, WIDE) as visitor:
        page = visitor.page
        _fill(visitor)
        page.get_by_label("Breed").fill('<img src=x onerror="document.title=1">')

        said = page.locator('[id="said-dog.breed"]')
        expect(said).to_contain_text("<img src=x onerror=")
        expect(page.locator("main img")).to_have_count(0)


def test_the_tape_of_the_field_lights_up(browser: Browser, address: str) -> None:
    with visit(browser, address, WIDE) as visitor:
        visitor.go("/orders/new")
        face = '[data-field="{}"] .tape-face'
        colour = "(one) => getComputedStyle(one).stroke"
        page = visitor.page
        dark = page.locator(face.format("nape_length")).evaluate(colour)
        _field(page, "measurements.nape_length").focus()

        assert page.locator(face.format("nape_length")).evaluate(colour) != dark
        assert page.locator(face.format("face_girth")).evaluate(colour) == dark


def test_another_yarn_shows_its_fields_only_when_chosen(browser: Browser, address: str) -> None:
    with visit(browser, address, PHONE, script=False) as visitor:
        visitor.go("/orders/new")
        name = visitor.page.get_by_label("Name of the yarn")
        expect(name).to_be_hidden()
        visitor.page.get_by_label("From the shelf").select_option("new")
        expect(name).to_be_visible()
        visitor.check()


@widths
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_page_keeps_its_promises(
    browser: Browser, address: str, width: int, scheme: str
) -> None:
    with visit(browser, address, width, scheme=scheme) as visitor:
        for path in PAGES:
            visitor.go(path)


def test_the_pages_hold_at_twice_the_size(browser: Browser, address: str) -> None:
    with visit(browser, address, WIDE // 2) as visitor:
        for path in PAGES:
            visitor.go(path)


def test_long_words_do_not_widen_a_page(browser: Browser, address: str) -> None:
    with visit(browser, address, PHONE) as visitor:
        _fill(visitor)
        long = "Wolfeschlegelsteinhausenbergerdorff" * 5
        visitor.page.get_by_label("Name", exact=True).fill(long)
        visitor.page.get_by_label("Name of the buyer").fill(long)
        visitor.page.get_by_role("button", name="Take the order").click()
        expect(visitor.page.get_by_role("heading", level=1)).to_have_text(long)
        visitor.check()
        visitor.go("/")


def test_the_order_form_can_be_gone_through_by_keyboard(browser: Browser, address: str) -> None:
    with visit(browser, address, WIDE) as visitor:
        visitor.go("/orders/new")
        page = visitor.page
        page.keyboard.press("Tab")
        expect(page.locator(".skip")).to_be_focused()
        names, outlines = [], set()
        for _ in range(60):
            page.keyboard.press("Tab")
            name = page.evaluate("document.activeElement.name || ''")
            names.append(name)
            if name:
                outlines.add(
                    page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
                )
        wanted = ["dog.name", "dog.breed", "measurements.neck_length", "measurements.face_girth",
                  "yarn_choice", "buyer.name", "due", "notes"]  # fmt: skip
        assert [name for name in wanted if name not in names] == []
        assert names.index("dog.name") < names.index("measurements.neck_girth")
        assert outlines == {"solid"}
