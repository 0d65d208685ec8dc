"""What is typed of an order is kept as it is typed, and shown as it takes shape."""

import re

from playwright.sync_api import Browser, expect

from service.db import Database
from service.drafts import drafts
from tests.pages.site import BEAGLE, Site
from tests.pages.test_again import later
from tests.pages.visitor import PHONE, WIDE, visit

HALF = {"dog.name": "Pipkin", "measurements.neck_girth": "35.5", "buyer.name": "Tilda Fenwright"}


def keep(site: Site, typed: dict[str, str]) -> str:
    """Keep something for later; return where to go on with it."""
    site.take(typed, do="later")
    return next(one for one in site.get("/").links() if "draft=" in one)


def test_a_closed_tab_loses_nothing_and_another_device_goes_on(
    browser: Browser, address: str
) -> None:
    with visit(browser, address, WIDE) as desk:
        desk.go("/orders/new")
        with desk.page.expect_response("**/orders/shape"):
            desk.page.get_by_label("Name", exact=True).fill("Bramble")
        with desk.page.expect_response("**/orders/shape"):
            desk.page.get_by_label("Neck girth").fill("36")
    with visit(browser, address, PHONE) as phone:
        phone.go("/")
        page = phone.page
        page.get_by_role("link", name="Go on with the order for Bramble").click()
        expect(page.get_by_label("Neck girth")).to_have_value("36")
        phone.check()
        for label, text in (("Neck length", "8"), ("Nape length", "11.5"), ("Face girth", "38")):
            page.get_by_label(label).fill(text)
        expect(page.locator("#shape")).to_contain_text("once you tell the yarn")
        page.get_by_label("From the shelf").select_option(label="Brackwater Aran, lot K 214")
        total = page.locator("#shape .total")
        expect(total).to_have_text(re.compile(r"^\d+\.\d\d EUR$"))
        expect(page.locator("#shape")).to_contain_text("This hood could be with the buyer by")
        said = total.text_content()
        page.get_by_label("Name of the buyer").fill("Oskar Lindqvist")
        page.get_by_role("button", name="Take the order").click()
        expect(page).to_have_url(re.compile(r"/orders/2027-0007$"))
        expect(page.locator(".total").first).to_have_text(said or "?")
        phone.go("/")
        expect(page.get_by_text("Go on with the order for Bramble")).to_have_count(0)


def test_the_price_follows_the_edit_form_too(browser: Browser, address: str) -> None:
    with visit(browser, address, PHONE) as visitor:
        page = visitor.page
        visitor.go("/orders/2027-0004/edit")
        before = page.locator("#shape .total").text_content()
        page.get_by_label("Neck girth").fill("60")
        expect(page.locator("#shape .total")).not_to_have_text(before or "?")
        visitor.go("/")
        expect(page.get_by_text("Go on with the order")).to_have_count(0)


def test_without_script_it_is_kept_by_a_button(site: Site) -> None:
    link = keep(site, HALF)

    assert "Go on with the order for Pipkin" in site.get("/").text
    page = site.get(link)
    assert page.form().values["measurements.neck_girth"] == ["35.5"]
    assert "once you tell the neck length, nape length and the face girth" in page.text
    site.send("/orders/new", page.form().values | as_lists(BEAGLE) | {"do": ["take"]})

    assert site.number() == "2027-0001"
    assert "Go on" not in site.get("/").text
    site.get(link, 404)


def as_lists(typed: dict[str, str]) -> dict[str, list[str]]:
    """Fields as a form sends them."""
    return {name: [text] for name, text in typed.items()}


def test_it_can_be_thrown_away_for_good(site: Site, database: Database) -> None:
    keep(site, HALF)
    away = site.get("/orders/new").form("/throw-away")

    site.send(away.action, away.values)

    with database.reading() as session:
        assert drafts(session) == []
    site.send(away.action, away.values, 404)


def test_nothing_is_kept_of_an_empty_form_or_of_a_taken_order(
    site: Site, database: Database
) -> None:
    form = site.get("/orders/new").form()
    site.send("/orders/shape", form.values)
    taken = form.values | as_lists(BEAGLE) | {"do": ["take"]}
    site.send("/orders/new", taken)
    site.send("/orders/shape", taken)

    with database.reading() as session:
        assert drafts(session) == []


def test_what_nobody_goes_on_with_goes_by_itself(site: Site, database: Database) -> None:
    keep(site, HALF)
    keep(later(database, 61), {"dog.name": "Moth"})

    with database.reading() as session:
        assert [one.typed["dog.name"] for one in drafts(session)] == [["Moth"]]


def test_two_places_that_type_on_one_order_lose_nothing(site: Site) -> None:
    link = keep(site, HALF)
    mine, theirs = site.get(link).form(), site.get(link).form()
    site.send("/orders/shape", theirs.with_(buyer__phone="0123"))

    told = site.send("/orders/shape", mine.with_(notes="a ring"), 412)

    assert "typed on in another place" in told.root.text
    site.send("/orders/new", mine.with_(notes="a ring", do="later"))
    kept = [site.get(one).form().values for one in site.get("/").links() if "draft=" in one]
    assert [one["buyer.phone"] + one["notes"] for one in kept] == [["", "a ring"], ["0123", ""]]
    # Taken here, what was typed there is still to be found.
    site.send("/orders/new", mine.values | as_lists(BEAGLE) | {"do": ["take"]})
    assert link in site.get("/").links()


def test_too_much_is_refused_in_words(site: Site) -> None:
    form = site.get("/orders/new").form()
    page = site.send("/orders/new", form.with_(notes="x" * 50_000, do="later"), 422)
    assert "too much to keep" in page.text
