"""The bench in a real browser on a phone: tapping, without a connection, and on two at once."""

import re
import socket
from collections.abc import Iterator
from threading import Thread
from time import monotonic, sleep
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import Browser, Locator, Page, expect
from starlette.testclient import TestClient

from service.db import Database
from service.web.application import create_app
from tests.entering import cheap, with_key
from tests.pages.conftest import NOW
from tests.pages.visitor import PHONE, WIDE, Visitor, visit

BENCH = "/orders/2027-0001/bench"
API = f"/api/v1{BENCH}"
APART = 700  # milliseconds between two taps that are two


class Served:
    """The demo shop on one port, that can go away and come back."""

    def __init__(self, database: Database) -> None:
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = probe.getsockname()[1]
        self.database = database
        self.address = f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        app = create_app(self.database, lambda: NOW, entrance=cheap())
        self.server = uvicorn.Server(uvicorn.Config(app, port=self.port, log_level="warning"))
        self.thread = Thread(target=self.server.run)
        self.thread.start()
        until = monotonic() + 20
        while not self.server.started and monotonic() < until:
            sleep(0.02)
        assert self.server.started

    def stop(self) -> None:
        self.server.should_exit = True
        self.thread.join(20)
        assert not self.thread.is_alive()

    def state(self) -> dict[str, Any]:
        """Where the work stands, asked past the browser."""
        client = with_key(TestClient(create_app(self.database, lambda: NOW)))
        found: dict[str, Any] = client.get(f"{API}/state").json()
        return found


@pytest.fixture
def served(demo: Database) -> Iterator[Served]:
    one = Served(demo)
    one.start()
    yield one
    one.stop()


def big(page: Page) -> Locator:
    return page.locator("#done")


def tap(page: Page, times: int = 1) -> None:
    for _ in range(times):
        big(page).click()
        page.wait_for_timeout(APART)


def head(page: Page, text: str) -> None:
    expect(page.locator("#head")).to_have_text(text)


def settled(page: Page) -> None:
    """Wait until no tap is left on the phone."""
    expect(page.locator("#sync")).to_be_empty()


def forgive(visitor: Visitor) -> None:
    """Forgive the browser's own reports of requests that found no connection."""
    assert all("Failed to load resource" in said for said in visitor.complaints), (
        visitor.complaints
    )
    visitor.complaints.clear()


def test_rows_a_measure_and_undo(browser: Browser, served: Served) -> None:
    with visit(browser, served.address, PHONE) as visitor:
        page = visitor.page
        visitor.go("/orders/2027-0001")
        visitor.follow(page.get_by_role("link", name="To the bench"))
        expect(page.locator("#text")).to_contain_text("Chain 11.")
        tap(page)
        head(page, "Row 1")
        expect(big(page)).to_have_text("Row 1 done")
        tap(page)
        head(page, "Measure after row 1")
        expect(page.locator("#count")).to_contain_text("7.7 cm (±")
        page.get_by_label("The tape says").fill("eight-ish")
        tap(page)
        expect(page.locator("#measured-wrong")).to_contain_text("eight-ish")
        head(page, "Measure after row 1")
        expect(page.locator("#line")).to_be_hidden()  # it was this page's own
        page.get_by_label("The tape says").fill("9 cm")
        tap(page)
        head(page, "Row 2")
        expect(page.locator("#off")).to_contain_text("Look again. Collar height: 9.0 cm")
        tap(page, 2)
        head(page, "Row 4")
        page.get_by_role("button", name="Undo").click()
        head(page, "Row 3")
        settled(page)
        assert served.state()["at"] == "p0c1r3"
        # What stands further down the page goes along.
        expect(page.get_by_label("The work stands at")).to_have_value("p0c1r3")
        link = page.get_by_role("link", name="What is really on the hook?")
        expect(link).to_have_attribute("href", re.compile("rows_made=2"))
        expect(page.locator("#clock-does")).to_contain_text("Pause")
        page.get_by_role("button", name="Pause").click()
        expect(page.locator("#clock-does")).to_contain_text("Start")
        settled(page)
        assert served.state()["since"] is None
        visitor.check()


def test_two_taps_at_once_are_one_row(browser: Browser, served: Served) -> None:
    with visit(browser, served.address, PHONE) as visitor:
        visitor.go(BENCH)
        big(visitor.page).dblclick()
        head(visitor.page, "Row 1")
        settled(visitor.page)
        assert list(served.state()["done"]) == ["p0c1o"]


def test_space_and_enter_are_taps_and_a_key_held_down_is_one(
    browser: Browser, served: Served
) -> None:
    with visit(browser, served.address, WIDE) as visitor:
        page = visitor.page
        visitor.go(BENCH)
        page.keyboard.press("Space")
        head(page, "Row 1")
        page.wait_for_timeout(APART)
        for _ in range(4):  # pressed, and then repeated as long as it is held
            page.keyboard.down("Enter")
            page.wait_for_timeout(APART)
        page.keyboard.up("Enter")
        head(page, "Measure after row 1")
        page.get_by_label("The tape says").fill("7.7")
        page.keyboard.press("Enter")
        head(page, "Row 2")
        settled(page)
        assert served.state()["measured"][0]["near"] is True


def test_without_a_connection_no_row_is_lost_over_a_reload(
    browser: Browser, served: Served
) -> None:
    with visit(browser, served.address, PHONE) as visitor:
        page = visitor.page
        visitor.go(BENCH)
        tap(page)
        expect(page.locator('[data-at-hand="yes"]')).to_be_visible()
        settled(page)
        page.context.set_offline(True)
        served.stop()
        tap(page, 3)
        head(page, "Row 3")
        expect(page.locator("#sync")).to_have_text("No connection. 3 taps wait on this phone.")

        page.reload()

        head(page, "Row 3")
        visitor.check()
        tap(page)
        page.get_by_role("button", name="Undo").click()
        tap(page, 2)
        head(page, "Row 5")
        expect(page.locator("#sync")).to_contain_text("7 taps wait")
        assert served.state()["at"] == "p0c1r1"
        served.start()
        page.context.set_offline(False)
        settled(page)
        state = served.state()
        wanted = ["p0c1o", "p0c1r1", "p0c1r1m1", "p0c1r2", "p0c1r3", "p0c1r4"]
        assert sorted(state["done"]) == sorted(wanted)
        assert state["events"] == 8
        page.reload()
        head(page, "Row 5")
        forgive(visitor)


def test_without_a_connection_nothing_takes_the_place_of_the_bench(
    browser: Browser, served: Served
) -> None:
    with visit(browser, served.address, PHONE) as visitor:
        page = visitor.page
        visitor.go(BENCH)
        tap(page)
        settled(page)
        page.context.set_offline(True)
        tap(page)
        page.get_by_label("The work stands at").select_option("p0c1r9")
        page.get_by_role("button", name="Go there").click()
        expect(page.locator("#line")).to_contain_text("can be reached when it is back")
        page.get_by_role("link", name="What is really on the hook?").click()
        tap(page)
        head(page, "Row 2")
        page.context.set_offline(False)
        settled(page)
        page.get_by_label("The work stands at").select_option("p0c1r9")
        with page.expect_navigation():
            page.get_by_role("button", name="Go there").click()
        head(page, "Row 9")
        visitor.follow(page.get_by_role("link", name="What is really on the hook?"))
        forgive(visitor)


def test_the_large_field_stays_in_its_place_from_row_to_row(
    browser: Browser, served: Served
) -> None:
    with visit(browser, served.address, PHONE) as visitor:
        page = visitor.page
        visitor.go(BENCH)
        tap(page)
        places = []
        for _ in range(4):  # a row, a measure, and rows
            box = page.locator("#tap").bounding_box()
            assert box
            places.append((box["y"], box["height"]))
            big(page).click()
            page.wait_for_timeout(50)  # while it is being sent
            box = page.locator("#tap").bounding_box()
            assert box
            places.append((box["y"], box["height"]))
            page.wait_for_timeout(APART)
        assert len(set(places)) == 1, places


def test_what_to_do_with_a_piece_is_in_sight_once_it_is_asked(
    browser: Browser, served: Served
) -> None:
    with visit(browser, served.address, PHONE) as visitor:
        page = visitor.page
        visitor.go("/orders/2027-0001/in-hand?part=collar&rows_made=8&stitches_now=10")
        page.get_by_label("Width, along the last row").fill("8.5")
        page.get_by_label("Length, across the rows made").fill("6.2")
        visitor.follow(page.get_by_role("button", name="What now?"))
        expect(page.get_by_role("heading", name="Carry on, by other rows")).to_be_in_viewport()
        expect(page.get_by_text("or the bench goes on with the old ones")).to_be_visible()


def test_two_phones_at_once_lose_nothing_and_tell_what_happened(
    browser: Browser, served: Served
) -> None:
    with (
        visit(browser, served.address, PHONE) as one,
        visit(browser, served.address, PHONE) as other,
    ):
        one.go(BENCH)
        other.go(BENCH)
        tap(one.page)
        settled(one.page)
        one.page.context.set_offline(True)
        tap(one.page, 3)
        tap(other.page, 2)  # its chain and first row are the same ones
        settled(other.page)
        one.page.context.set_offline(False)
        settled(one.page)

        assert served.state()["at"] == "p0c1r3"
        tap(other.page)
        expect(other.page.locator("#line")).to_contain_text("From another page:")
        head(other.page, "Row 3")
        forgive(one)


def test_another_plan_followed_elsewhere_is_taken_up(browser: Browser, served: Served) -> None:
    with visit(browser, served.address, PHONE) as visitor:
        page = visitor.page
        visitor.go(BENCH)
        client = with_key(TestClient(create_app(served.database, lambda: NOW)))
        piece = {"part": "collar", "rows_made": 20, "stitches_now": 10, "width": "7.7 cm",
                 "length": "14.7 cm"}  # fmt: skip
        body = {"id": "follow-00001", "piece": piece}
        assert client.post(f"{API}/follow", json=body).status_code == 200
        tap(page)
        expect(page.locator("#line")).to_contain_text("by another plan")
        head(page, "Row 21")
        tap(page)
        head(page, "Row 22")
        settled(page)
        assert list(served.state()["done"]) == ["p0c1r21"]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [PHONE, WIDE])
def test_every_kind_of_step_keeps_its_promises_and_can_be_read_at_arm_s_length(
    browser: Browser, served: Served, width: int, scheme: str
) -> None:
    client = with_key(TestClient(create_app(served.database, lambda: NOW)))
    with visit(browser, served.address, width, scheme=scheme) as visitor:
        page = visitor.page
        for n, step in enumerate(("p0c1o", "p0c1r12", "p2c1r17", "f1")):
            asked = {"id": f"place-0000{n}", "step": step}
            assert client.post(f"{API}/place", json=asked).status_code == 200
            visitor.go(BENCH)
            size = page.evaluate("parseFloat(getComputedStyle(text).fontSize)")
            assert size >= 24
            box = page.locator("#tap").bounding_box()
            assert box
            assert box["height"] >= 800 * 0.34
            assert box["width"] >= 0.7 * min(width, 960)
            seen = page.evaluate(
                "text.getBoundingClientRect().bottom <= done.getBoundingClientRect().top"
            )
            assert seen, "the whole sentence is in sight above the button"


def test_without_script_each_tap_is_a_form(browser: Browser, served: Served) -> None:
    with visit(browser, served.address, PHONE, script=False) as visitor:
        page = visitor.page
        visitor.go(BENCH)
        big(page).click()
        head(page, "Row 1")
        big(page).click()
        page.get_by_label("The tape says").fill("7,7")
        big(page).click()
        head(page, "Row 2")
        page.get_by_role("button", name="Undo").click()
        head(page, "Measure after row 1")
        visitor.check()
        page.get_by_label("The work stands at").select_option(label="Hood: Row 3")
        page.get_by_role("button", name="Go there").click()
        head(page, "Row 3")
        visitor.check()
