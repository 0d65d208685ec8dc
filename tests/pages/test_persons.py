"""Buyers over the pages: what is kept, taken out, erased, and the setting that lets them go."""

import io
import json
import zipfile

import pytest
from playwright.sync_api import Browser

from tests.pages.site import BEAGLE, Site
from tests.pages.visitor import PHONE, WIDE, visit


def cancelled(site: Site) -> tuple[str, str]:
    """Take an order and cancel it; return its number and the address of its buyer."""
    site.take({**BEAGLE, "buyer.email": "tilda@fenwright.example", "notes": "likes oatmeal"})
    number = site.number()
    order = site.client.get(f"/api/v1/orders/{number}")
    site.client.post(
        f"/api/v1/orders/{number}/state", json={"to": "cancelled"},
        headers={"If-Match": order.headers["ETag"]},
    )  # fmt: skip
    return number, "/buyers/1"


@pytest.mark.parametrize("width", [WIDE, PHONE])
def test_a_buyer_is_found_taken_out_and_kept_while_an_order_is_open(
    browser: Browser, address: str, width: int
) -> None:
    with visit(browser, address, width, script=False) as visitor:
        visitor.go("/shop")
        visitor.follow(visitor.page.get_by_role("link", name="Buyers and their data"))
        visitor.page.get_by_label("Name or e-mail").fill("fenwright")
        visitor.page.get_by_role("button", name="Search").click()
        visitor.follow(visitor.page.get_by_role("link", name="Tilda Fenwright"))
        text = visitor.page.inner_text("main")
        assert "Not yet:" in text
        assert "2027-0001" in text
        assert visitor.page.get_by_role("button", name="Erase this buyer").count() == 0


def test_a_buyer_is_erased_once_the_box_is_ticked(site: Site) -> None:
    number, address = cancelled(site)
    form = site.get(address).form("/erase")
    unsure = site.client.post(form.action, data=form.values)
    assert unsure.status_code == 422
    assert "Tick the box first" in unsure.text

    gone = site.send(form.action, form.with_(sure="yes"))
    assert "The personal data were erased on 1 March 2027" in gone.text
    order = site.get(f"/orders/{number}")
    assert "personal data were erased" in order.text
    for page in (gone, order, site.get("/orders"), site.get("/buyers"), site.get("/")):
        for word in ("Tilda", "tilda", "Pipkin", "oatmeal"):
            assert word not in page.html
    assert site.client.get(f"/api/v1/orders/{number}").json()["plan"]["price"]["total"]
    care = site.client.get(f"/api/v1/orders/{number}/care-sheet.pdf")
    assert care.status_code == 200


def test_a_buyer_s_data_are_a_file_for_the_buyer(site: Site) -> None:
    cancelled(site)
    answer = site.client.get("/api/v1/buyers/1/data.zip")
    with zipfile.ZipFile(io.BytesIO(answer.content)) as whole:
        told = json.loads(whole.read("data.json"))

    assert told["buyer"][0]["name"] == "Tilda Fenwright"
    assert "no-store" in answer.headers["Cache-Control"]
    assert site.client.get("/api/v1/buyers/99/data.zip").status_code == 404


def test_the_api_lists_and_erases(site: Site) -> None:
    number, _ = cancelled(site)
    (listed,) = site.client.get("/api/v1/buyers", params={"q": "TILDA"}).json()["buyers"]
    done = site.client.post(f"/api/v1/buyers/{listed['id']}/erase")

    assert listed["orders"] == 1
    assert done.json() == {"orders": [number]}
    assert site.client.get("/api/v1/buyers", params={"q": "tilda"}).json()["buyers"] == []


def test_the_years_are_set_under_shop_and_off_at_first(site: Site) -> None:
    assert "Nobody is erased by itself" in site.get("/buyers").text
    form = site.get("/shop").form()
    site.send("/shop", form.with_(forget_after="3"))

    assert "no order for 3 years" in site.get("/buyers").text
    assert site.client.get("/api/v1/shop").json()["forget_after"] == 3
    refused = site.client.post("/shop", data=site.get("/shop").form().with_(forget_after="0"))
    assert refused.status_code == 422
    assert site.send("/buyers/erase-old", {}).heading == "Buyers"


def test_a_hostile_search_is_a_search(site: Site) -> None:
    cancelled(site)
    for words in ("%", "_", "'; DROP TABLE buyer; --", "\x00", "<script>", "{{ 7 * 7 }}"):
        answer = site.client.get("/buyers", params={"q": words})
        assert answer.status_code == 200
        assert "<script>" not in answer.text
        assert "Nobody is found by that." in answer.text or words == "\x00"
