"""Another hood for a buyer and a dog that are known."""

import re
from datetime import timedelta
from decimal import Decimal

import pytest
from playwright.sync_api import Browser, expect
from starlette.testclient import TestClient

from service.db import Database
from service.web.application import create_app
from tests.entering import let_in, signed_in
from tests.pages.conftest import NOW
from tests.pages.journey import Journey
from tests.pages.site import BEAGLE, Site
from tests.pages.visitor import PHONE, WIDE, visit

MOST_INPUTS = 6
LENGTH = "measurements.neck_girth"


def later(database: Database, days: int) -> Site:
    """A visitor some days after `NOW`."""
    then = NOW + timedelta(days=days)
    app = create_app(database, lambda: then)
    let_in(database, then, f"after {days} days", mark=str(days))
    return Site(signed_in(TestClient(app, raise_server_exceptions=False), str(days)))


@pytest.mark.parametrize("width", [WIDE, PHONE])
@pytest.mark.parametrize("script", [True, False])
def test_a_known_buyer_is_found_by_name_and_served_in_six_inputs(
    browser: Browser, address: str, width: int, *, script: bool
) -> None:
    journey = Journey()
    with visit(browser, address, width, script=script) as visitor:
        page = visitor.page
        visitor.go("/")
        journey.press(page.locator("main").get_by_role("link", name="Take an order"))
        expect(page).to_have_url(re.compile("/orders/new$"))
        visitor.check()
        journey.write(page.get_by_label("A buyer or a dog that you know"), "fenwright pip")
        journey.press(page.get_by_role("button", name="Find"))
        expect(page.get_by_label("Found")).to_be_visible()
        visitor.check()
        journey.press(page.get_by_role("link", name="Another hood for Pipkin"))
        expect(page).to_have_url(re.compile("again=2027-0001"))
        visitor.check()
        journey.choose(page.get_by_label("From the shelf"), "Oakapple Wool, lot B 12")
        journey.press(page.get_by_role("button", name="Take the order"))

        expect(page).to_have_url(re.compile(r"/orders/2027-0007$"))
        expect(page.get_by_role("heading", level=1)).to_have_text("Pipkin")
        expect(page.locator("#neck_girth")).to_contain_text("35.5")
        expect(page.locator(".total").first).to_contain_text("EUR")
    assert journey.inputs <= MOST_INPUTS


def test_from_the_order_s_page_it_takes_two_presses(browser: Browser, address: str) -> None:
    journey = Journey()
    with visit(browser, address, PHONE) as visitor:
        page = visitor.page
        visitor.go("/orders/2027-0001")
        journey.press(page.get_by_role("link", name="Another hood for Pipkin"))
        expect(page.get_by_label("From the shelf")).to_have_value(re.compile(r"^1\."))
        journey.press(page.get_by_role("button", name="Take the order"))
        expect(page).to_have_url(re.compile(r"/orders/2027-0007$"))
    assert journey.inputs == 2


def test_it_is_the_same_buyer_and_the_same_dog(site: Site) -> None:
    site.take(BEAGLE | {"shelve": "yes", "due": "2027-04-01", "notes": "ring at the back"})
    first = site.number()
    form = site.get(f"/orders/new?again={first}").form()

    assert form.values["due"] == [""]
    assert form.values["notes"] == [""]
    assert form.values["yarn_choice"] == ["1"]
    site.send("/orders/new", form.with_(do="take"))

    asked = [site.client.get(f"/api/v1/orders/{n}").json()["asked"] for n in (first, "2027-0002")]
    asked[0].update(due=None, notes="")
    assert asked[0] == asked[1]
    assert [one["number"] for one in site.client.get("/api/v1/dogs?q=pipkin").json()] == [
        "2027-0002"
    ]


def test_a_new_kind_takes_longer_and_the_next_like_it_is_one_further(site: Site) -> None:
    site.take(BEAGLE | {"shelve": "yes"})
    by_heart = site.client.get(f"/api/v1/orders/{site.number()}").json()["plan"]
    site.take(BEAGLE | {"made_before": "0"})
    first = site.number()
    plan = site.client.get(f"/api/v1/orders/{first}").json()["plan"]

    assert plan["labour"]["minutes"] > by_heart["labour"]["minutes"]
    assert Decimal(plan["price"]["total"]) > Decimal(by_heart["price"]["total"])
    assert "A new kind of hood" in site.get(f"/orders/{first}").text
    assert site.get(f"/orders/{first}/edit").form().values["made_before"] == ["0"]
    again = site.get(f"/orders/new?again={first}").form()
    assert again.values["made_before"] == ["1"]
    refused = site.send("/orders/new", again.with_(made_before="-1", do="take"), 422)
    assert refused.said("made_before")


def test_a_yarn_that_left_the_shelf_is_described(site: Site) -> None:
    site.take(BEAGLE | {"shelve": ""})
    form = site.get(f"/orders/new?again={site.number()}").form()

    assert form.values["yarn_choice"] == ["new"]
    assert form.values["yarn.name"] == ["Brackwater Aran"]
    assert "shelve" not in form.values
    site.send("/orders/new", form.with_(do="take"))
    assert site.number() == "2027-0002"


def test_a_growing_dog_is_measured_again(site: Site) -> None:
    site.take(BEAGLE | {"dog.risks": "puppy"})
    page = site.get(f"/orders/new?again={site.number()}")

    assert page.form().values[LENGTH] == [""]
    assert page.said(LENGTH) == "Last time: 35.5 on 1 March 2027"
    assert "was still growing when it was measured on 1 March 2027" in page.text


def test_old_lengths_are_doubted_however_often_they_were_repeated(
    site: Site, database: Database
) -> None:
    site.take(BEAGLE)
    young = later(database, 300)
    form = young.get("/orders/new?again=2027-0001")
    assert "Measure again" not in form.text
    young.send("/orders/new", form.form().with_(do="take"))

    old = later(database, 400).get("/orders/new?again=2027-0002")

    assert "was measured on 1 March 2027, more than a year ago" in old.text
    assert old.form().values[LENGTH] == ["35.5"]
    told = later(database, 400).client.get("/api/v1/orders/2027-0002/again").json()
    assert told["reminder"] == "old"


def test_another_dog_of_a_known_buyer(site: Site) -> None:
    site.take(BEAGLE | {"buyer.phone": "0123", "buyer.address": "1 Lane\nTown"})
    found = site.get("/orders/new?known=fenwright")
    link = next(one for one in found.links() if "buyer=" in one)

    form = site.get(link).form()

    assert form.values["buyer.phone"] == ["0123"]
    assert form.values["buyer.address"] == ["1 Lane\nTown"]
    assert form.values["dog.name"] == [""]


def test_nobody_found_is_said(site: Site) -> None:
    page = site.get("/orders/new?known=nobody")
    assert "Nobody fits “nobody”" in page.text
    site.get("/orders/new?buyer=99", 404)
    site.get("/orders/new?again=2027-0099", 404)
