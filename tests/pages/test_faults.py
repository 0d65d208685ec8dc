"""Errors on pages: plain words and the right status; the API keeps its problem details."""

import pytest
from starlette.testclient import TestClient

from service.db import Database
from service.web.application import create_app
from tests.entering import signed_in
from tests.pages.reading import Page
from tests.pages.site import BEAGLE, Site


@pytest.mark.parametrize(
    "address",
    ["/nothing", "/orders/2026-9999", "/orders/x", "/orders/2026-9999/edit", "/orders/%00/edit"],
)
def test_what_is_not_there_is_said_in_words(site: Site, address: str) -> None:
    page = site.get(address, 404)

    assert page.heading == "There is nothing here"
    assert "/orders" in page.links()


def test_the_api_keeps_problem_details(site: Site) -> None:
    for address in ("/api/v1/orders/2026-9999", "/api/v1/nothing"):
        answer = site.client.get(address)
        assert answer.status_code == 404
        assert answer.headers["content-type"] == "application/problem+json"
    answer = site.client.post("/api/v1/checks", json={"nonsense": 1})
    assert answer.headers["content-type"] == "application/problem+json"


def test_a_cursor_that_is_none_of_ours(site: Site) -> None:
    assert "not one of ours" in site.get("/orders?cursor=!!", 422).text


def test_too_long_a_query_is_refused_in_words(site: Site) -> None:
    assert "address cannot be read" in site.get(f"/orders?q={'x' * 300}", 422).text


def test_a_way_that_does_not_lead_there(site: Site) -> None:
    answer = site.client.delete("/shop")

    assert answer.status_code == 405
    assert Page(answer.text).heading == "That cannot be done here"
    assert "GET" in answer.headers["allow"]


def test_an_unknown_measurement_or_order_is_not_found(site: Site) -> None:
    site.take(BEAGLE)
    sent = {"field": ["dog"], "value": ["3"], "version": ["1"]}
    assert "no such measurement" in site.send("/orders/2027-0001/correct", sent, 404).text
    sent["field"] = ["neck_girth"]
    site.send("/orders/2027-0009/correct", sent, 404)


@pytest.mark.parametrize("version", ["", "x", "0", "-1", "9" * 50, "٣"])
def test_a_version_that_never_was_is_stale(site: Site, version: str) -> None:
    site.take(BEAGLE)
    sent = {"to": ["quoted"], "version": [version]}

    site.send("/orders/2027-0001/state", sent, 412)


def test_a_form_from_another_site_is_refused(site: Site) -> None:
    values = site.get("/orders/new").form().values | {k: [v] for k, v in BEAGLE.items()}
    values["do"] = ["take"]
    for headers in (
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"origin": "http://elsewhere.example"},
        {"origin": "null"},
    ):
        answer = site.client.post("/orders/new", data=values, headers=headers)
        assert answer.status_code == 403
        assert "another site" in Page(answer.text).text
    here = {"origin": "http://testserver"}
    assert site.client.post("/orders/new", data=values, headers=here).status_code == 200
    assert site.count() == 1


def test_every_page_refuses_foreign_and_inline_code(demo_site: Site) -> None:
    for address in (
        "/",
        "/orders",
        "/orders/new",
        "/orders/2027-0001",
        "/yarns",
        "/shop",
        "/nothing",
    ):
        answer = demo_site.client.get(address)
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert Page(answer.text).unlabelled() == []


def test_a_fault_of_ours_says_so_and_nothing_more(database: Database) -> None:
    def broken() -> None:
        message = "secret detail"
        raise RuntimeError(message)

    app = create_app(database, broken)  # type: ignore[arg-type] # a clock that fails
    client = signed_in(TestClient(app, raise_server_exceptions=False))
    answer = client.get("/")

    assert answer.status_code == 500
    assert "secret" not in answer.text
    assert Page(answer.text).heading == "Something went wrong on our side"
