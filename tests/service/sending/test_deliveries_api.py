"""Programs do with deliveries whatever the page does."""

import pytest
from starlette.testclient import TestClient

from service.settings import MailSettings
from service.web.application import create_app
from tests.entering import with_key
from tests.service.api import BUYER, Api, Json, assert_problem, order_body, stopped_body
from tests.service.sending.conftest import SHOP, Shop
from tests.service.sending.postoffice import PostOffice


@pytest.fixture
def calls(shop: Shop, mail: MailSettings) -> Api:
    app = create_app(shop.database, shop.clock, mail)
    return Api(with_key(TestClient(app, raise_server_exceptions=False)))


def path(shop: Shop, more: str = "") -> str:
    return f"/api/v1/orders/{shop.number}/deliveries{more}"


def listed(calls: Api, shop: Shop) -> Json:
    found: Json = calls.client.get(path(shop)).json()
    return found


def test_a_mail_is_looked_at_sent_and_listed(calls: Api, shop: Shop, mail: MailSettings) -> None:
    draft = calls.client.get(path(shop, "/draft"), params={"kind": "care"}).json()
    made = calls.client.post(path(shop), json={"kind": "care"})
    assert made.status_code == 201
    one = made.json()
    assert (one["state"], one["to"], one["attempts"]) == ("waiting", BUYER["email"], 0)
    assert (draft["sender"], draft["to"]) == (SHOP.email, BUYER["email"])
    assert (draft["subject"], draft["papers"][0]["sha256"]) == (
        one["subject"],
        one["papers"][0]["sha256"],
    )
    assert listed(calls, shop)["care_sheet"] == "not yet"

    shop.deliver(mail, one["id"])
    (kept,) = listed(calls, shop)["deliveries"]
    assert (kept["state"], listed(calls, shop)["care_sheet"]) == ("sent", "sent")
    paper = calls.client.get(path(shop, f"/{one['id']}/papers/{kept['papers'][0]['id']}"))
    assert paper.headers["Content-Type"] == "application/pdf"
    assert len(paper.content) == kept["papers"][0]["bytes"]


def test_the_same_key_twice_is_one_mail(calls: Api, shop: Shop) -> None:
    headers = {"Idempotency-Key": "k1"}
    answers = [
        calls.client.post(path(shop), json={"kind": "care"}, headers=headers) for _ in range(2)
    ]

    assert [one.status_code for one in answers] == [201, 201]
    assert answers[0].json() == answers[1].json()
    assert len(listed(calls, shop)["deliveries"]) == 1
    other = calls.client.post(path(shop), json={"kind": "on-its-way"}, headers=headers)
    assert_problem(other, 422, "key-reused")


def test_paper_by_hand_and_once_more(calls: Api, shop: Shop, office: PostOffice) -> None:
    paper = calls.client.post(path(shop, "/paper"))
    assert (paper.status_code, paper.json()["state"]) == (201, "handed over")
    assert listed(calls, shop)["care_sheet"] == "handed over"
    waiting = calls.client.post(path(shop), json={"kind": "care"}).json()["id"]
    assert_problem(calls.client.post(path(shop, f"/{waiting}/again")), 409, "not-allowed-now")
    done = calls.client.post(path(shop, f"/{waiting}/by-hand"), params={"state": "sent"})
    assert (done.json()["state"], done.json()["how"]) == ("sent", "by hand")
    again = calls.client.post(path(shop, f"/{waiting}/again")).json()
    assert (again["state"], again["id"] != waiting) == ("waiting", True)
    assert office.envelopes == []


@pytest.mark.parametrize(
    ("body", "status", "code"),
    [
        ({"kind": "nothing"}, 404, "not-found"),
        ({"kind": "postcard"}, 404, "not-found"),
        ({"kind": "care", "language": "xx"}, 404, "not-found"),
        ({"kind": "care", "to": "nowhere"}, 422, "unreadable"),
        ({"kind": "care", "to": "a@b.example\r\nBcc: c@d.example"}, 422, "wrong-shape"),
        ({}, 422, "wrong-shape"),
    ],
)
def test_what_cannot_be_sent_is_said(
    calls: Api, shop: Shop, body: Json, status: int, code: str
) -> None:
    assert_problem(calls.client.post(path(shop), json=body), status, code)

    assert listed(calls, shop)["deliveries"] == []


@pytest.mark.parametrize("code", ["xx", "", "\x00"])
def test_a_paper_in_no_language_is_not_written_down(calls: Api, shop: Shop, code: str) -> None:
    told = {"kind": "care", "language": code}
    answer = calls.client.post(path(shop, "/paper"), params=told)
    assert_problem(answer, 404, "not-found")
    assert "en, de" in answer.json()["detail"]

    assert listed(calls, shop)["deliveries"] == []


def test_an_order_without_an_address_or_a_plan_sends_nothing(calls: Api) -> None:
    silent = calls.taken(order_body(buyer={"name": "Tilda"}))["number"]
    stopped = calls.taken(stopped_body())["number"]
    for number, code in ((silent, "not-allowed-now"), (stopped, "no-plan")):
        answer = calls.client.post(f"/api/v1/orders/{number}/deliveries", json={"kind": "care"})
        assert_problem(answer, 409, code)


def test_a_shop_without_an_address_is_told_so(api: Api) -> None:
    number = api.taken()["number"]
    answer = api.client.post(f"/api/v1/orders/{number}/deliveries", json={"kind": "care"})

    problem = assert_problem(answer, 409, "not-allowed-now")
    assert "e-mail of your shop" in problem["detail"]


def test_deliveries_of_another_order_are_not_there(calls: Api, shop: Shop) -> None:
    made = calls.client.post(path(shop, "/paper")).json()
    other = f"/api/v1/orders/{shop.take()}/deliveries/{made['id']}"
    paper = made["papers"][0]["id"]

    assert_problem(calls.client.get(f"{other}/papers/{paper}"), 404, "not-found")
    assert_problem(calls.client.post(f"{other}/by-hand"), 404, "not-found")
    assert_problem(calls.client.get(path(shop, f"/{made['id']}/papers/{paper + 1}")), 404,
                   "not-found")  # fmt: skip


def test_how_mail_leaves_is_told_without_the_password(calls: Api, mail: MailSettings) -> None:
    told = calls.client.get("/api/v1/mail").json()

    assert told == {
        "host": mail.host,
        "security": "none",
        "folder": None,
        "sender": SHOP.email,
        "confirms_at": "https://hoods.example",
    }
