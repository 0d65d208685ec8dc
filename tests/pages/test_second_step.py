"""The second step in a real browser: the key read from its picture, as an app does, and used."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from io import BytesIO
from urllib.parse import parse_qs, urlsplit

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, Page, expect
from sqlmodel import select

from service.db import Database
from service.doors.secondstep import code_at
from service.models import Account
from tests.entering import MAKER, cheap
from tests.pages.conftest import NOW, served
from tests.pages.visitor import PHONE, WIDE, visit

PASSWORD = "seven kettles under moss"  # noqa: S105 - of a shop of the tests


class Watch:
    """A clock that a test moves on."""

    now = NOW

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def watch() -> Watch:
    return Watch()


@pytest.fixture
def shop(demo: Database, watch: Watch) -> Iterator[str]:
    """The address of a shop whose maker has a password."""
    with demo.writing() as session:
        account = session.exec(select(Account).where(Account.name == MAKER)).one()
        account.password = cheap().hasher.hash(PASSWORD)
    with served(demo, watch) as address:
        yield address


def _read(page: Page) -> str:
    """Return the key that the picture on the page holds."""
    picture = page.locator("svg.qr").screenshot()
    (found,) = zxingcpp.read_barcodes(Image.open(BytesIO(picture)))
    told = urlsplit(found.text)
    assert (told.scheme, told.netloc) == ("otpauth", "totp")
    return parse_qs(told.query)["secret"][0]


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize(("width", "script"), [(WIDE, True), (PHONE, False)])
def test_from_the_picture_to_the_next_sign_in(
    browser: Browser, shop: str, watch: Watch, width: int, *, script: bool, dark: bool
) -> None:
    with visit(browser, shop, width, script=script) as visitor:
        page = visitor.page
        page.emulate_media(color_scheme="dark" if dark else "light")
        visitor.go("/account")
        page.locator("#step-now").fill(PASSWORD)
        page.keyboard.press("Enter")
        expect(page.locator("svg.qr")).to_be_visible()
        visitor.check()
        key = _read(page)
        assert page.locator(".step-key").inner_text().replace(" ", "") == key
        page.get_by_label("The code that the app shows now").fill(code_at(key, watch.now))
        page.keyboard.press("Enter")
        expect(page.get_by_text("The second step is on.")).to_be_visible()
        visitor.check()
        codes = page.locator(".step-codes code").all_inner_texts()
        assert len(codes) == 10

    watch.now += timedelta(minutes=5)
    for typed in (code_at(key, watch.now), codes[0]):
        with visit(browser, shop, width, script=script, known=False) as visitor:
            page = visitor.page
            visitor.go("/sign-in")
            page.get_by_label("Your name").fill(MAKER)
            page.get_by_label("Password", exact=True).fill(PASSWORD)
            page.keyboard.press("Enter")
            expect(page.get_by_role("heading", level=1)).to_have_text("The second step")
            visitor.check()
            page.keyboard.type("12345")
            page.keyboard.press("Enter")
            expect(page.locator("#said-code")).to_contain_text("not right")
            visitor.check()
            visitor.complaints.clear()  # the browser complains of the 401 itself
            page.keyboard.type(typed)
            page.keyboard.press("Enter")
            expect(page.get_by_text(f"Signed in as {MAKER}")).to_be_visible()
            expect(page.get_by_text("The second step was switched on.")).to_be_visible()
            visitor.check()
