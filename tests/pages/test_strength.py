"""How strong a new password is, told while it is typed."""

import pytest
from playwright.sync_api import Browser, expect

from service.db import Database
from tests.pages.visitor import PHONE, WIDE, visit


@pytest.mark.parametrize("width", [WIDE, PHONE])
def test_a_meter_goes_along_with_what_is_typed(
    browser: Browser, address: str, demo: Database, width: int
) -> None:
    del demo
    with visit(browser, address, width) as visitor:
        visitor.go("/account")
        page = visitor.page
        meter, said = page.locator("meter"), page.locator("#strength-said")
        expect(meter).to_be_hidden()
        field = page.locator("#password")
        field.press_sequentially("password1234")
        expect(said).to_contain_text("easily guessed")
        assert meter.evaluate("one => one.value") < 3
        field.fill("nine geese mend old kettles")
        expect(said).to_have_text("Hard to guess.")
        expect(meter).to_have_js_property("value", 4)
        visitor.check()
        field.fill("")
        expect(meter).to_be_hidden()


def test_without_script_there_is_no_meter_and_the_form_is_the_same(
    browser: Browser, address: str, demo: Database
) -> None:
    del demo
    with visit(browser, address, WIDE, script=False) as visitor:
        visitor.go("/account")
        expect(visitor.page.locator("meter")).to_be_hidden()
        expect(visitor.page.locator("#password")).to_be_visible()
