"""The first start in a real browser: from the printed link to an order taken, out and in again."""

import pytest
from playwright.sync_api import Browser, expect

from service.db import Database
from service.doors.codes import way_in
from tests.pages.conftest import NOW, served
from tests.pages.site import BEAGLE
from tests.pages.visitor import PHONE, WIDE, visit
from tests.service.conftest import empty

PASSWORD = "seven kettles under moss"  # noqa: S105 - of a shop of the tests


@pytest.mark.parametrize(("width", "script"), [(WIDE, True), (PHONE, False)])
def test_from_the_printed_link_to_an_order(
    browser: Browser, database: Database, width: int, *, script: bool
) -> None:
    empty(database)
    with database.writing() as session:
        code = way_in(session, NOW)
    with (
        served(database, lambda: NOW) as address,
        visit(browser, address, width, script=script, known=False) as visitor,
    ):
        page = visitor.page
        visitor.go("/orders/new")
        expect(page.get_by_text("Nobody has an account here yet")).to_be_visible()
        visitor.go(f"/sign-in?code={code}")
        page.get_by_label("Your name").fill("Odile")
        page.get_by_label("A new password").fill("password1234")
        page.get_by_role("button", name="Keep it and come in").click()
        expect(page.locator("#said-password")).to_contain_text("easily guessed")
        visitor.check()
        visitor.complaints.clear()  # the browser complains of the 422 itself
        page.get_by_label("A new password").fill(PASSWORD)
        meter = page.locator("meter")
        if script:
            expect(page.locator("#strength-said")).to_have_text("Hard to guess.")
            expect(meter).to_have_js_property("value", 4)
            visitor.check()
            page.get_by_role("button", name="Show it").click()
            expect(page.get_by_label("A new password")).to_have_attribute("type", "text")
        else:
            expect(meter).to_be_hidden()
        page.get_by_role("button", name="Keep it and come in").click()
        expect(page.get_by_text("Signed in as Odile")).to_be_visible()

        visitor.go("/orders/new")
        for name, text in BEAGLE.items():
            field = page.locator(f'[name="{name}"]').first
            if name == "yarn_choice":
                continue
            if field.is_visible():
                field.fill(text)
        page.get_by_role("button", name="Take the order").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("Pipkin")
        expect(page.locator(".history").last).to_contain_text("Odile")
        order = page.url

        page.get_by_role("button", name="Sign out").click()
        expect(page.get_by_text("You are signed out")).to_be_visible()
        visitor.check()
        page.goto(order)
        page.get_by_label("Your name").fill("odile")
        page.get_by_label("Password", exact=True).fill(PASSWORD)
        with page.expect_request("**/sign-in") as asked:
            page.get_by_role("button", name="Sign in").click()
        # Older browsers have no other way to say that the form is from a page of ours.
        assert asked.value.all_headers()["origin"] == address
        expect(page.get_by_role("heading", level=1)).to_have_text("Pipkin")
        visitor.check()
