"""The bench through forms alone, as it works without script, and what other pages say of it."""

from datetime import UTC, datetime, timedelta

from starlette.testclient import TestClient

from service.db import Database
from service.web.application import create_app
from tests.entering import signed_in
from tests.pages.reading import Page
from tests.pages.site import BEAGLE, Site

HOOD = "/orders/2027-0001"


def head(page: Page) -> str:
    return page.by_id("head").text


def tap(site: Site, page: Page, measured: str = "", status: int = 200) -> Page:
    """Press the large button; the field of the tape belongs to its form."""
    form = next(
        one for one in page.forms("/bench") if "step" in one.values and "kind" in one.values
    )
    values = form.with_(measured=measured) if measured else form.values
    return site.send(f"{HOOD}/bench", values, status)


def press(site: Site, page: Page, kind: str) -> Page:
    form = next(one for one in page.forms("/bench") if one.values.get("kind") == [kind])
    return site.send(f"{HOOD}/bench", form.values)


def test_rows_are_tapped_and_taken_back_by_forms(demo_site: Site) -> None:
    page = demo_site.get(f"{HOOD}/bench")
    assert "Chain 11." in page.by_id("text").text
    page = tap(demo_site, page)
    assert (head(page), page.by_id("side").text) == ("Row 1", "RS")

    measure = tap(demo_site, page)

    assert head(measure) == "Measure after row 1"
    refused = tap(demo_site, measure, "a hand", 422)
    assert "“a hand” is not a measurement" in refused.by_id("measured-wrong").text
    assert refused.by_id("measured").attrs["value"] == "a hand"
    page = tap(demo_site, refused, "7,7")
    assert head(page) == "Row 2"
    assert "7.7 cm" in page.text
    page = tap(demo_site, page)
    assert head(press(demo_site, page, "undo")) == "Row 2"


def test_a_form_sent_twice_is_one_tap(demo_site: Site) -> None:
    page = demo_site.get(f"{HOOD}/bench")
    tap(demo_site, page)
    assert head(tap(demo_site, page)) == "Row 1"


def test_the_work_can_be_said_to_stand_elsewhere(demo_site: Site) -> None:
    form = demo_site.get(f"{HOOD}/bench").form("/place")
    page = demo_site.send(form.action, form.with_(step="p2c1r15"))
    assert (page.by_id("part").text, head(page)) == ("Hood", "Row 15")
    assert page.by_id("note").text == "The crown begins with row 15."
    link = page.by_id("in-hand").attrs["href"]
    assert "part=hood&rows_made=14&stitches_now=30" in link
    asked = demo_site.get(link).form()
    assert (asked.values["part"], asked.values["rows_made"]) == (["hood"], ["14"])


def test_a_length_far_off_leads_to_what_is_on_the_hook_and_the_rest_is_followed(
    demo_site: Site,
) -> None:
    form = demo_site.get(f"{HOOD}/bench").form("/place")
    page = demo_site.send(form.action, form.with_(step="p0c1r42"))
    page = tap(demo_site, tap(demo_site, page), "31 cm")
    assert "Look again. Collar strip before joining: 31.0 cm" in page.by_id("off").text

    asked = demo_site.get(page.by_id("in-hand").attrs["href"]).form()
    judged = demo_site.send(f"{HOOD}/in-hand", asked.with_(width="7,7", length="31"))
    assert "Rip back" in judged.text
    follow = judged.form("/bench/follow")
    page = demo_site.send(follow.action, follow.values)

    assert page.by_id("part").text == "Joining the collar"
    rows = [
        step["row"]
        for step in demo_site.client.get(f"/api/v1{HOOD}/bench").json()["steps"]
        if step["name"] == "collar"
    ]
    # 28 cm, as aimed at, at the 7.4 mm that a row of the piece measures, and an even number.
    assert max(rows) == 38
    again = demo_site.get(f"{HOOD}")
    assert "is worked as planned again." in again.section("history")
    # The rows and the ticket there are still the first plan's: the page says so.
    assert "The bench goes by another plan. Since row 38 of the collar" in again.section("pattern")


def test_what_cannot_be_believed_is_asked_again_and_nothing_is_made_of_it(demo_site: Site) -> None:
    asked = demo_site.get(f"{HOOD}/in-hand").form()
    piece = {"rows_made": "4", "stitches_now": "10", "width": "9", "length": "4,5"}
    page = demo_site.send(f"{HOOD}/in-hand", asked.with_(**piece))

    assert "Count and measure again" in page.text
    # 10 cm by the swatch's 13 stitches and 15 rows.
    assert "9.0 mm wide and one row 11.2 mm high; planned are 7.7 and 6.7 mm" in page.text
    assert "Comes out" not in page.text
    assert "The rest" not in page.text
    assert page.forms("/bench/follow") == []


def test_the_clock_is_on_the_order_s_page_and_in_the_form_of_what_became_of_it(
    demo: Database,
) -> None:
    now = [datetime(2027, 3, 2, 9, 0, tzinfo=UTC)]
    app = create_app(demo, lambda: now[0])
    site = Site(signed_in(TestClient(app, raise_server_exceptions=False)))
    page = site.get(f"{HOOD}/bench")
    for _ in range(12):  # the chain, ten rows and a measure, a minute each after the first
        page = tap(site, page)
        now[0] += timedelta(minutes=1)
    order = site.get(HOOD)
    assert "Spent so far11 min" in order.section("time")
    assert "Left, at your pace" in order.section("time")

    ended = site.send(f"{HOOD}/state", order.form("/state").with_(to="finished"))

    assert ended.form("/outcome").values["minutes"] == ["11"]
    assert "The bench measured 11 min" in ended.by_id("hint-minutes").text
    shop = site.get("/shop")
    assert "The bench says" in shop.by_id("hint-rates.pace.sc_blo").text
    assert shop.form("/shop").values["rates.pace.sc_blo"] == [""]
    over = site.get(f"{HOOD}/bench")
    assert "hidden" in over.by_id("tap").attrs


def test_a_hood_that_is_not_being_made_has_no_bench(demo_site: Site) -> None:
    page = demo_site.get("/orders/2027-0002/bench", 409)
    assert "begin its hood" in page.text
    assert "/orders/2027-0002" in page.links()
    assert "/orders/2027-0002/bench" not in demo_site.get("/orders/2027-0002").links()
    assert f"{HOOD}/bench" in demo_site.get(HOOD).links()


def test_what_is_typed_cannot_break_out_of_the_page_s_data(site: Site) -> None:
    name = '</script><img src=x onerror="alert(1)">'
    page = site.take({**BEAGLE, "dog.name": name})
    for to in ("accepted", "making"):
        page = site.send(page.form("/state").action, page.form("/state").with_(to=to))
    bench = site.get(f"/orders/{site.number()}/bench")
    assert not bench.root.all("img")
    assert name in bench.text


def test_the_script_that_keeps_it_at_hand_is_served_under_the_root(demo_site: Site) -> None:
    answer = demo_site.client.get("/bench-worker.js")
    assert answer.headers["content-type"].startswith("text/javascript")
    assert answer.headers["content-security-policy"].startswith("default-src 'none'")
    assert answer.headers["cache-control"] == "no-cache"
