"""What a helper is shown: no link and no button that ends in a refusal."""

import pytest
from starlette.testclient import TestClient

from service.db import Database
from service.doors.roles import Role
from service.web.application import create_app
from tests.entering import cheap, let_in, signed_in
from tests.pages.conftest import NOW
from tests.pages.reading import Page

STARTS = (
    "/",
    "/account",
    "/orders/2027-0001/bench",
    "/orders/2027-0001/in-hand",
    "/orders/2027-0003/bench",
    "/orders/2027-0001",
    "/nothing",
)


@pytest.fixture
def helper(demo: Database) -> TestClient:
    """A helper's browser."""
    let_in(demo, NOW, "Hob Alder", Role.HELPER, "-of-a-helper")
    app = create_app(demo, lambda: NOW, entrance=cheap())
    return signed_in(TestClient(app, raise_server_exceptions=False), "-of-a-helper")


def test_no_link_that_a_helper_sees_is_refused(helper: TestClient) -> None:
    links = {
        path: at
        for at in STARTS
        for link in Page(helper.get(at).text).links()
        if (path := link.partition("#")[0])
    }
    answers = {path: helper.get(path).status_code for path in links}
    refused = {path: links[path] for path, status in answers.items() if status != 200}
    assert refused == {}
    assert {"/", "/account", "/orders/2027-0001/bench"} <= links.keys()


def test_an_empty_shop_tells_a_helper_to_wait(database: Database) -> None:
    let_in(database, NOW, "Hob Alder", Role.HELPER, "-of-a-helper")
    app = create_app(database, lambda: NOW, entrance=cheap())
    page = Page(signed_in(TestClient(app), "-of-a-helper").get("/").text)
    assert "No hood waits to be made" in page.text
    assert not [link for link in page.links() if link.startswith("/orders")]
