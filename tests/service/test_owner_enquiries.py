"""Enquiries of strangers: all is taken, nothing known is changed, and programs get nowhere."""

from datetime import timedelta

import pytest
from httpx2 import Response
from sqlmodel import col, select

from service.db import Database
from service.models import Buyer, Dog, Enquiry, Order
from service.owner.enquiries import keep, typed, unseen
from tests.service.api import BUYER, YARN, Api, FixedClock, Json, order_body
from tests.service.outside import HOSTILE, Outside

ASKED: Json = {
    "name": "Perpetua Quill", "email": "perpetua@quill.example", "dog": "Nutkin",
    "breed": "Beagle", "weight": "11 kg", "unit": "cm", "wish": "In moss green, please.",
    "neck_length.1": "8", "neck_girth.1": "35,5", "nape_length.1": "11.5", "face_girth.1": "38",
}  # fmt: skip
ODD = ("a hand", "0", "9**9", "14,500", "1/0 in", "=1+1", "٣ cm", "<b>8</b>", "-3", "1e9 cm")


@pytest.fixture
def outside(api: Api, database: Database) -> Outside:
    found = Outside(api, database)
    found.open_shop()
    return found


def ask(outside: Outside, clock: FixedClock, do: str = "send", **changes: str) -> Response:
    """Fill the form as a person does, who needs a while."""
    stamp = outside.stamp()
    clock.now += timedelta(seconds=40)
    return outside.send("/ask", {**ASKED, "stamp": stamp, **changes}, do)


def kept(outside: Outside) -> list[Enquiry]:
    with outside.database.reading() as session:
        return unseen(session)


def count(outside: Outside, kind: type[Order | Buyer | Dog | Enquiry]) -> int:
    with outside.database.reading() as session:
        return len(session.exec(select(kind)).all())


def test_the_page_is_closed_until_it_is_opened(api: Api, database: Database) -> None:
    closed = Outside(api, database)

    assert closed.get("/ask").status_code == 404
    assert closed.send("/ask", ASKED).status_code == 404
    assert closed.get("/ask/thanks").status_code == 404
    assert count(closed, Enquiry) == 0


def test_an_enquiry_is_an_order_not_looked_at(outside: Outside, clock: FixedClock) -> None:
    answer = ask(outside, clock)
    (order,) = outside.client.get("/api/v1/orders").json()["orders"]
    whole = outside.api.show(order["number"])
    page = outside.client.get(f"/orders/{order['number']}").text

    assert "Your words have arrived" in answer.text
    assert order["state"] == "enquiry"
    assert whole["asked"]["buyer"]["name"] == "Perpetua Quill"
    assert whole["asked"]["measurements"]["neck_girth"] == "35,5"
    assert whole["asked"]["notes"] == "In moss green, please."
    assert whole["plan"] is not None
    assert whole["history"][-1]["kind"] == "it came from a stranger"
    assert "From a stranger, not looked at" in page
    assert "from a stranger, not looked at" in outside.client.get("/orders").text
    assert order["number"] in outside.client.get("/enquiries").text


def test_looked_at_it_leaves_the_list_and_stays_an_order(
    outside: Outside, clock: FixedClock
) -> None:
    ask(outside, clock)
    (row,) = kept(outside)
    page = outside.client.post(f"/enquiries/{row.id}/looked")

    assert page.url.path.startswith("/orders/")
    assert "From a stranger, not looked at" not in page.text
    assert "Nobody has asked" in outside.client.get("/enquiries").text
    assert "from a stranger" not in outside.client.get("/").text


@pytest.mark.parametrize("text", [*ODD, ""])
def test_odd_numbers_are_asked_back_once_and_then_taken(
    outside: Outside, clock: FixedClock, text: str
) -> None:
    first = ask(outside, clock, **{"neck_girth.1": text})
    assert first.status_code == 200
    assert "It is right as it is" in first.text
    assert count(outside, Enquiry) == 0
    second = ask(outside, clock, "sure", **{"neck_girth.1": text})

    assert "Your words have arrived" in second.text
    (row,) = kept(outside)
    assert row.told["neck_girth.1"] == text
    assert row.order_id is None
    page = outside.client.get(f"/enquiries/{row.id}")
    assert page.status_code == 200
    assert "There is no order yet" in page.text
    form = outside.client.get("/orders/new", params={"enquiry": row.id})
    assert form.status_code == 200
    assert 'value="Perpetua Quill"' in form.text


@pytest.mark.parametrize("text", ["3", "3000 mm", "14.5", "0.1 in"])
def test_a_number_no_dog_has_is_taken_too(outside: Outside, clock: FixedClock, text: str) -> None:
    ask(outside, clock, "sure", **{"face_girth.1": text, "weight": "very heavy"})

    assert count(outside, Enquiry) == 1
    for row in kept(outside):
        assert outside.client.get(f"/enquiries/{row.id}").status_code == 200
    for order in outside.client.get("/api/v1/orders").json()["orders"]:
        assert outside.client.get(f"/orders/{order['number']}").status_code == 200
        assert "very heavy" in outside.api.show(order["number"])["asked"]["notes"]


def test_the_maker_takes_it_as_an_order_with_the_numbers_put_right(
    outside: Outside, clock: FixedClock
) -> None:
    ask(outside, clock, "sure", **{"neck_girth.1": "a hand"})
    (row,) = kept(outside)
    sent = {
        "dog.name": "Nutkin", "buyer.name": "Perpetua Quill", "enquiry": str(row.id),
        "measurements.neck_length": "8", "measurements.neck_girth": "35",
        "measurements.nape_length": "11", "measurements.face_girth": "38", "do": "take",
        "yarn_choice": "new", "yarn.name": "Tow",
        "yarn.ball_metres": "170", "yarn.ball_grams": "50",
        "yarn.fibres.0.fibre": "acrylic", "yarn.fibres.0.percent": "100",
    }  # fmt: skip
    answer = outside.client.post("/orders/new", data=sent)

    assert answer.url.path.startswith("/orders/20"), answer.text
    with outside.database.reading() as session:
        tied = session.get_one(Enquiry, row.id)
    assert (tied.order_id is None, tied.looked_at is None) == (False, False)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"name": " "}, "write your name"),
        ({"email": "perpetua"}, "e-mail address"),
        ({"wish": "x" * 5_000}, "more than fits"),
        ({"dog": "x" * 5_000}, "more than fits"),
        ({"neck_girth.1": "9" * 5_000}, "more than fits"),
    ],
)
def test_what_lacks_or_is_too_long_is_asked_back_and_not_lost(
    outside: Outside, clock: FixedClock, changes: dict[str, str], said: str
) -> None:
    answer = ask(outside, clock, "sure", **changes)

    assert answer.status_code == 422
    assert said in answer.text
    assert "In moss green" in answer.text or "wish" in changes
    assert max(changes.values()).strip() in answer.text
    assert count(outside, Enquiry) == 0


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_texts_stay_texts(outside: Outside, clock: FixedClock, text: str) -> None:
    names = ("name", "dog", "breed", "weight", "wish", "neck_girth.1")
    back = ask(outside, clock, **dict.fromkeys(names, text))
    ask(outside, clock, "sure", **dict.fromkeys(names, text))
    ask(outside, clock, "sure", name=text, dog=text, breed=text, wish=text)
    pages = [back.text, outside.client.get("/").text, outside.client.get("/enquiries").text]
    rows = kept(outside)
    pages += [outside.client.get(f"/enquiries/{row.id}").text for row in rows]
    pages += [outside.client.get(f"/orders/new?enquiry={row.id}").text for row in rows]
    numbers = [one["number"] for one in outside.client.get("/api/v1/orders").json()["orders"]]
    pages += [outside.client.get(f"/orders/{number}").text for number in numbers]

    assert (len(rows), len(numbers)) == (2, 1)
    for page in pages:
        assert "Nothing here" not in page
        for bad in ("<script>alert", "<img", "62710561", "\u202e"):
            assert bad not in page


def test_a_program_that_fills_in_everything_is_thanked_and_forgotten(
    outside: Outside, clock: FixedClock
) -> None:
    person, program = ask(outside, clock), ask(outside, clock, website="http://spam.example")

    assert program.text == person.text
    assert count(outside, Enquiry) == 1


def test_a_form_sent_back_at_once_is_asked_to_wait(outside: Outside, clock: FixedClock) -> None:
    stamp = outside.stamp()
    clock.now += timedelta(seconds=2)
    early = outside.send("/ask", {**ASKED, "stamp": stamp}, "send")
    forged = outside.send("/ask", {**ASKED, "stamp": stamp.replace(".", ".A", 1)}, "send")
    assert count(outside, Enquiry) == 0
    clock.now += timedelta(days=2)
    old = outside.send("/ask", {**ASKED, "stamp": stamp}, "send")

    for answer in (early, forged, old):
        assert "press the button again" in answer.text
        assert "Perpetua Quill" in answer.text
    assert count(outside, Enquiry) == 0


def test_the_same_form_twice_is_one_enquiry(outside: Outside, clock: FixedClock) -> None:
    stamp = outside.stamp()
    clock.now += timedelta(seconds=40)
    for _ in range(2):
        outside.send("/ask", {**ASKED, "stamp": stamp}, "send")

    assert (count(outside, Enquiry), count(outside, Order)) == (1, 1)


def test_many_enquiries_from_one_address_have_to_wait(outside: Outside, clock: FixedClock) -> None:
    stamp = outside.stamp()
    clock.now += timedelta(seconds=5)
    answers = [outside.send("/ask", {**ASKED, "stamp": stamp}, "send") for _ in range(6)]

    assert [answer.status_code for answer in answers] == [200] * 5 + [429]
    assert int(answers[-1].headers["Retry-After"]) > 60


def test_a_stranger_cannot_change_what_is_known_of_a_buyer(
    outside: Outside, clock: FixedClock
) -> None:
    order = outside.api.taken(order_body(buyer={**BUYER, "phone": "555 0102"}))
    ask(outside, clock, "sure", **BUYER, dog="Bramble", **{"neck_girth.1": "60"})

    assert count(outside, Order) == 2
    assert count(outside, Buyer) == 2
    with outside.database.reading() as session:
        first = session.exec(select(Dog).order_by(col(Dog.id))).first()
    assert first
    assert first.measurements["neck_girth"] == order["asked"]["measurements"]["neck_girth"]


def test_an_enquiry_is_deleted_with_all_it_made(outside: Outside, clock: FixedClock) -> None:
    outside.api.taken()
    ask(outside, clock)
    (row,) = kept(outside)
    answer = outside.client.post(f"/enquiries/{row.id}/delete")

    assert answer.url.path == "/enquiries"
    assert (count(outside, Order), count(outside, Buyer), count(outside, Dog)) == (1, 1, 1)
    assert "Perpetua" not in outside.everything_kept()


def test_an_enquiry_that_was_worked_on_is_not_deleted(outside: Outside, clock: FixedClock) -> None:
    ask(outside, clock)
    (row,) = kept(outside)
    (order,) = outside.client.get("/api/v1/orders").json()["orders"]
    outside.link(order["number"])

    assert outside.client.post(f"/enquiries/{row.id}/delete").status_code == 409
    assert count(outside, Order) == 1


def test_only_the_sites_of_the_list_may_show_it(outside: Outside, clock: FixedClock) -> None:
    assert "frame-ancestors 'none'" in outside.get("/ask").headers["Content-Security-Policy"]
    outside.open_shop(embed_in="https://hoods.example\nhttp://www.yarn.example:8080")
    wanted = "frame-ancestors https://hoods.example http://www.yarn.example:8080"
    pages = [outside.get("/ask"), ask(outside, clock, name=""), ask(outside, clock)]

    assert all(page.headers["Content-Security-Policy"].endswith(wanted) for page in pages)
    number = outside.client.get("/api/v1/orders").json()["orders"][0]["number"]
    link = outside.get(outside.way(outside.link(number)))
    assert "frame-ancestors 'none'" in link.headers["Content-Security-Policy"]


@pytest.mark.parametrize(
    "text",
    ["*", "hoods.example", "https://*.example", "https://a.example/x", "'self'",
     "https://a.example; script-src *", "https://a.example,https://b.example", "javascript:x"],
)  # fmt: skip
def test_what_is_no_origin_never_gets_into_the_header(outside: Outside, text: str) -> None:
    assert outside.api.shop({"enquiries": True, "embed_in": text}).status_code == 422


def test_the_yarn_of_the_shelf_stands_in(outside: Outside, clock: FixedClock) -> None:
    outside.api.post("/yarns", YARN)
    ask(outside, clock)
    (order,) = outside.client.get("/api/v1/orders").json()["orders"]

    assert outside.api.show(order["number"])["asked"]["yarn"]["name"] == "Hemlock Aran"


def test_findings_are_kept_for_the_maker_alone(outside: Outside, clock: FixedClock) -> None:
    answer = ask(outside, clock, "sure", **{"neck_girth.1": "14.5"})
    (order,) = outside.client.get("/api/v1/orders").json()["orders"]

    assert order["stopped"]
    assert outside.api.show(order["number"])["findings"]
    assert order["number"] not in answer.text


def test_the_same_key_in_two_transactions_is_one(outside: Outside, clock: FixedClock) -> None:
    def work(key: str) -> int:
        return outside.database.write(
            lambda session: keep(session, typed(ASKED), key, clock()).id or 0
        )

    assert work("a") == work("a") != work("b")
