"""Papers to the buyer on the pages: previewed, sent, handed over, and what became of them."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect
from starlette.testclient import TestClient

from service.db import Database
from service.sending.deliver import deliver
from service.settings import MailSettings
from service.web.application import create_app
from tests.entering import signed_in
from tests.pages.conftest import NOW
from tests.pages.site import BEAGLE, Site
from tests.pages.visitor import PHONE, WIDE, visit

FINISHED = "/orders/2027-0006"
BUYER = "tilda@fenwright.example"


@pytest.fixture
def folder(tmp_path: Path) -> MailSettings:
    return MailSettings(folder=tmp_path / "mail")


@pytest.fixture
def shop(demo: Database, folder: MailSettings) -> Site:
    """A visitor of the demo shop, which has no mail server."""
    app = create_app(demo, lambda: NOW, folder)
    return Site(signed_in(TestClient(app, raise_server_exceptions=False)))


def sent(shop: Site, kind: str = "care") -> str:
    """Send a mail from its preview; return what the page of papers says then."""
    form = shop.get(f"{FINISHED}/papers/{kind}").form(f"/papers/{kind}")
    return shop.send(form.action, form.values).section("went")


def test_without_a_mail_server_the_page_says_so_plainly(shop: Site, folder: MailSettings) -> None:
    text = shop.get(f"{FINISHED}/papers").text

    assert "No mail server is set. A mail becomes a file" in text
    assert str(folder.folder) in text


def test_a_mail_is_previewed_then_written_then_sent_by_hand(
    shop: Site, demo: Database, folder: MailSettings
) -> None:
    preview = shop.get(f"{FINISHED}/papers/care")
    assert preview.section("g-mail").startswith("How to use the hood for Moth safely")
    assert BUYER in preview.section("g-mail")
    assert "care-sheet-2027-0006.pdf" in preview.text
    assert preview.unlabelled() == []
    assert "leaves in a moment" in sent(shop)

    deliver(demo, folder, 1, lambda: NOW)
    page = shop.get(f"{FINISHED}/papers")
    assert "Written to a file" in page.section("went")
    assert "Care sheet: not yet." in page.text
    assert [path.suffix for path in folder.folder.iterdir()] == [".eml"]
    form = page.form("/by-hand")
    page = shop.send(form.action, form.with_(state="sent"))
    assert "Care sheet: sent." in page.text
    assert "by hand" in page.section("went")
    assert "sent by hand" in shop.get(FINISHED).section("history")


def test_the_letter_in_the_preview_runs_nothing(shop: Site) -> None:
    answer = shop.client.get(f"{FINISHED}/papers/care/letter")
    policy = answer.headers["Content-Security-Policy"]

    assert "sandbox" in policy
    assert "default-src 'none'" in policy
    assert "script" not in policy
    assert "Dear Tilda Fenwright," in answer.text


def test_pressed_twice_it_is_sent_once(shop: Site) -> None:
    form = shop.get(f"{FINISHED}/papers/care").form("/papers/care")
    shop.send(form.action, form.values)
    page = shop.send(form.action, form.values)

    assert page.section("went").count(f"to {BUYER}") == 1


def test_an_address_that_is_none_is_refused_and_kept_to_be_mended(shop: Site) -> None:
    page = shop.get(f"{FINISHED}/papers/care?to=tilda+at+home", 422)

    assert "“tilda at home” is no e-mail address" in page.text
    assert page.by_id("to").attrs["value"] == "tilda at home"
    form = shop.get(f"{FINISHED}/papers/care").form("/papers/care")
    page = shop.send(form.action, form.with_(to="tilda at home"), 422)
    assert page.by_id("to").attrs["value"] == "tilda at home"
    assert "Nothing yet" in shop.get(f"{FINISHED}/papers").text


def test_an_order_without_an_address_can_be_sent_to_one_typed(site: Site) -> None:
    shop_form = site.get("/shop").form("/shop")
    site.send("/shop", shop_form.with_(email="wrack@hoods.example"))
    site.take(BEAGLE)
    path = f"/orders/{site.number()}/papers/care"
    page = site.get(path, 409)

    assert "no e-mail of its buyer" in page.text
    form = site.get(f"{path}?to=jo@home.example").form("/papers/care")
    assert "to jo@home.example" in site.send(form.action, form.values).text


def test_paper_handed_over_lets_the_order_be_closed(shop: Site) -> None:
    page = shop.get(FINISHED)
    assert "Care sheet: not yet." in page.text
    move = page.form("/state")
    refused = shop.send(move.action, move.with_(to="handed over", note=""), 409)
    assert "no care and supervision sheet yet" in refused.text
    assert FINISHED in refused.links()

    form = shop.get(f"{FINISHED}/papers").form("/handed/care")
    assert "Care sheet: handed over." in shop.send(form.action, form.values).text
    move = shop.get(FINISHED).form("/state")
    page = shop.send(move.action, move.with_(to="handed over"))
    assert "Moved from “finished” to “handed over”." in page.text


def test_a_reason_closes_the_order_and_stands_in_what_happened(shop: Site) -> None:
    move = shop.get(FINISHED).form("/state")
    page = shop.send(move.action, move.with_(to="handed over", note="They have it from the last"))

    assert "They have it from the last" in page.section("history")


def test_a_kept_paper_is_the_one_of_then(shop: Site) -> None:
    form = shop.get(f"{FINISHED}/papers").form("/handed/care")
    page = shop.send(form.action, form.values)
    (link,) = [one for one in page.links() if re.search(r"/deliveries/\d+/papers/\d+$", one)]
    assert shop.client.get(link).content.startswith(b"%PDF")


def test_words_are_tried_saved_and_given_back(shop: Site) -> None:
    form = shop.get("/mails/care").form("/mails/care?language=en")
    tried = shop.send(form.action, form.with_(text="Ahoy {{ buyer }}", do="try"))
    assert "Ahoy Tilda Fenwright" in tried.section("g-shown")
    assert "Nothing is saved yet" in tried.text
    saved = shop.send(form.action, form.with_(text="Ahoy {{ buyer }}", do="save"))
    assert "Saved." in saved.text
    assert "Ahoy Tilda Fenwright" in shop.get(f"{FINISHED}/papers/care").text
    assert "your own words" in shop.get("/mails").text

    form = shop.get("/mails/care").form("/mails/care?language=en")
    page = shop.send(form.action, form.with_(do="reset"))
    assert "Ahoy" not in page.html


def test_a_faulty_template_is_shown_as_typed_with_its_line(shop: Site) -> None:
    form = shop.get("/mails/care").form("/mails/care?language=en")
    page = shop.send(form.action, form.with_(html="<p>\n{{ buyr }}</p>", do="save"), 422)

    assert page.said("html").startswith("Line 2: There is no {{ buyr }}.")
    assert "<p>\n{{ buyr }}</p>" in page.by_id("html").raw
    assert "{{ buyr }}" not in shop.get("/mails/care").by_id("html").raw


def test_words_changed_meanwhile_are_not_overwritten(shop: Site) -> None:
    form = shop.get("/mails/care").form("/mails/care?language=en")
    shop.send(form.action, form.with_(text="first", do="save"))
    page = shop.send(form.action, form.with_(text="second", do="save"), 412)

    assert "first" in page.said("text")
    assert "second" in page.by_id("text").raw


@pytest.mark.parametrize("width", [WIDE, PHONE])
@pytest.mark.parametrize("script", [True, False])
def test_a_mail_in_a_real_browser(
    browser: Browser, address: str, width: int, *, script: bool
) -> None:
    with visit(browser, address, width, script=script) as visitor:
        page = visitor.page
        for path in ("/mails", "/mails/care", f"{FINISHED}/papers"):
            visitor.go(path)
        visitor.go(FINISHED)
        visitor.follow(page.get_by_role("link", name="Give the buyer the care sheet"))
        visitor.follow(page.get_by_role("link", name="Care and supervision sheet").first)
        expect(page.frame_locator("iframe").locator("body")).to_contain_text("Dear Tilda")
        page.get_by_role("button", name="Write it to a file").click()
        expect(page.locator(".deliveries")).to_contain_text(f"to {BUYER}")
        visitor.check()
