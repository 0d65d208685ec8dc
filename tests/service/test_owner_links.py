"""The owner's link: its secret, its end, its one dog, and that trying tells nothing."""

import hashlib
import re
from datetime import timedelta

import pytest

from service.db import Database
from service.owner.enquiries import unseen
from tests.service.api import Api, FixedClock, assert_problem, order_body
from tests.service.outside import HOSTILE, TWICE, Outside

UNKNOWN = "/measure/AAAAAAAAAAAAAAAAAAAAAA"


@pytest.fixture
def outside(api: Api, database: Database) -> Outside:
    return Outside(api, database)


def test_a_link_is_128_bits_and_only_its_digest_is_kept(outside: Outside) -> None:
    link = outside.link(outside.api.taken()["number"])
    secret = outside.way(link).removeprefix("/measure/")
    outside.send(outside.way(link), TWICE)

    assert re.fullmatch(r"[A-Za-z0-9_-]{22}", secret)  # 22 signs of 6 bits hold 128
    assert outside.rows()[0].token_hash == hashlib.sha256(secret.encode()).hexdigest()
    assert secret not in outside.everything_kept()
    listed = outside.client.get(f"/api/v1/orders/{outside.api.taken()['number']}/owner-links")
    assert listed.json() == []


def test_no_two_links_are_alike(outside: Outside) -> None:
    number = outside.api.taken()["number"]

    assert len({outside.link(number)["address"] for _ in range(20)}) == 20
    too_many = outside.api.post(f"/orders/{number}/owner-links", {})
    assert_problem(too_many, 409, "not-allowed-now")


def test_the_address_is_told_once(outside: Outside) -> None:
    number = outside.api.taken()["number"]
    link = outside.link(number)
    (listed,) = outside.client.get(f"/api/v1/orders/{number}/owner-links").json()

    assert link["address"].startswith("http://testserver/measure/")
    assert listed == {**link, "address": None}


def test_a_link_ends_with_the_clock(outside: Outside, clock: FixedClock) -> None:
    way = outside.way(outside.link(outside.api.taken()["number"]))
    clock.now += timedelta(days=14, seconds=-1)
    assert outside.get(way).status_code == 200
    clock.now += timedelta(seconds=1)

    assert outside.get(way).status_code == 404
    assert outside.send(way, TWICE).status_code == 404
    assert outside.send(f"{way}/look", TWICE).status_code == 404


def test_a_link_that_is_taken_back_opens_nothing(outside: Outside) -> None:
    number = outside.api.taken()["number"]
    link, other = outside.link(number), outside.link(number)
    gone = outside.client.delete(f"/api/v1/orders/{number}/owner-links/{link['id']}")
    again = outside.client.delete(f"/api/v1/orders/{number}/owner-links/{link['id']}")

    assert gone.json()["good"] is False
    assert again.json() == gone.json()
    assert outside.get(outside.way(link)).status_code == 404
    assert outside.send(outside.way(link), TWICE).status_code == 404
    assert outside.get(outside.way(other)).status_code == 200
    assert outside.numbers(number) == []


def test_a_link_of_another_order_cannot_be_taken_back(outside: Outside) -> None:
    link = outside.link(outside.api.taken()["number"])
    number = outside.api.taken(order_body(dog={"name": "Moth"}))["number"]
    answer = outside.client.delete(f"/api/v1/orders/{number}/owner-links/{link['id']}")

    assert_problem(answer, 404, "not-found")
    assert outside.get(outside.way(link)).status_code == 200


ANEW = {"date", "x-request-id"}
"""Headers that each answer has of its own."""


def test_unknown_ended_and_taken_back_look_alike(outside: Outside, clock: FixedClock) -> None:
    number = outside.api.taken()["number"]
    ended, back = outside.link(number, days=1), outside.link(number)
    outside.client.delete(f"/api/v1/orders/{number}/owner-links/{back['id']}")
    clock.now += timedelta(days=2)
    ways = [outside.way(ended), outside.way(back), UNKNOWN, f"{UNKNOWN}x", "/measure/%00",
            "/measure/..%2f..%2fshop", "/measure", "/measure/a/b/c", "/ask"]  # fmt: skip
    answers = [outside.get(way) for way in ways]

    assert {answer.status_code for answer in answers} == {404}
    assert len({answer.text for answer in answers}) == 1
    headers = [{k: v for k, v in answer.headers.items() if k not in ANEW} for answer in answers]
    assert all(one == headers[0] for one in headers)
    posted = [outside.send(way, TWICE) for way in ways[:4]]
    assert {answer.text for answer in posted} == {answers[0].text}


def test_every_page_outside_has_its_headers(outside: Outside) -> None:
    way = outside.way(outside.link(outside.api.taken()["number"]))
    outside.open_shop()
    pages = [outside.get(way), outside.send(way, TWICE, "look"), outside.send(way, TWICE),
             outside.send(f"{way}/look", TWICE), outside.get(UNKNOWN), outside.get("/ask"),
             outside.get("/ask/thanks"), outside.client.put(way)]  # fmt: skip

    for page in pages:
        assert page.headers["Referrer-Policy"] == "no-referrer"
        assert page.headers["X-Robots-Tag"] == "noindex, nofollow"
        assert page.headers["Cache-Control"] == "no-store"
        assert page.headers["X-Content-Type-Options"] == "nosniff"
        if page.headers["Content-Type"].startswith("text/html"):
            policy = page.headers["Content-Security-Policy"]
            assert "default-src 'none'" in policy
            assert "frame-ancestors 'none'" in policy
    moved = outside.client.post(way, data={**TWICE, "do": "sure"}, follow_redirects=False)
    assert (moved.status_code, moved.headers["Referrer-Policy"]) == (303, "no-referrer")


def test_nothing_else_of_the_shop_is_told(outside: Outside) -> None:
    outside.open_shop(address="3 Weir Cottages", email="wrack@hoods.example")
    buyer = {"name": "Ottoline Wrack", "email": "o@wrack.example", "address": "9 Low Road",
             "phone": "555 0102"}  # fmt: skip
    order = outside.api.taken(order_body(buyer=buyer, notes="pays late"))
    way = outside.way(outside.link(order["number"]))
    told = outside.get(way).text + outside.send(way, TWICE).text + outside.get("/ask").text
    told += outside.send(f"{way}/look", TWICE).text

    secrets = [*buyer.values(), "3 Weir Cottages", "wrack@hoods.example", "pays late",
               order["number"], "EUR", order["plan"]["price"]["total"], "Hemlock Aran",
               'href="/orders', 'href="/shop', 'href="/yarns', 'href="/"']  # fmt: skip
    assert [one for one in secrets if str(one) in told] == []
    assert "Bramble" in told
    assert "8 cm" not in outside.get(way).text.split("My tape shows")[0]


def test_many_requests_by_one_link_are_told_to_wait(outside: Outside, clock: FixedClock) -> None:
    number = outside.api.taken()["number"]
    way, other = outside.way(outside.link(number)), outside.way(outside.link(number))
    statuses = [outside.get(way).status_code for _ in range(61)]
    refused = outside.get(way)

    assert statuses == [200] * 60 + [429]
    assert "very often" in refused.text
    assert int(refused.headers["Retry-After"]) >= 1
    assert outside.get(other).status_code == 200
    clock.now += timedelta(seconds=int(refused.headers["Retry-After"]))
    assert outside.get(way).status_code == 200


def test_trying_links_is_soon_told_to_wait(outside: Outside, clock: FixedClock) -> None:
    way = outside.way(outside.link(outside.api.taken()["number"]))
    statuses = [outside.get(UNKNOWN).status_code for _ in range(30)]

    assert statuses == [404] * 20 + [429] * 10
    assert outside.get(way).status_code == 429  # a found one would look no different
    clock.now += timedelta(minutes=2)
    assert outside.get(way).status_code == 200


def test_a_large_form_is_refused_before_it_is_read(outside: Outside) -> None:
    way = outside.way(outside.link(outside.api.taken()["number"]))
    answer = outside.send(way, {**TWICE, "note": "x" * 200_000})
    many = outside.send(way, {f"field{place}": "x" for place in range(500)})

    assert (answer.status_code, many.status_code) == (413, 413)
    assert "more than fits" in answer.text


@pytest.mark.parametrize("text", [*HOSTILE, "x" * 5_000])
def test_hostile_texts_stay_texts_outside_and_inside(outside: Outside, text: str) -> None:
    order = outside.api.taken(
        order_body(dog={"name": "Bramble", "breed": text[:200].strip("\x07")})
    )
    way = outside.way(outside.link(order["number"]))
    for name in (*TWICE, "weight", "note"):
        answer = outside.send(way, {**TWICE, name: text})
        assert answer.status_code in {200, 422}, name
        for bad in ("<script>alert", "<img", "62710561"):
            assert bad not in answer.text
    page = outside.client.get(f"/orders/{order['number']}")

    assert page.status_code == 200
    for bad in ("<script>alert", "<img", "62710561"):
        assert bad not in page.text
    if len(text) < 500:
        assert outside.numbers(order["number"])[0]["note"] == _plain(text)


def _plain(text: str) -> str:
    return re.sub("[\x07\u202e\u202c]", "", text).strip()


def test_the_page_speaks_the_owner_s_language(outside: Outside) -> None:
    number = outside.api.taken()["number"]
    german = outside.way(outside.link(number, language="de"))
    way = outside.way(outside.link(number))
    browser = outside.client.get(UNKNOWN, headers={"Accept-Language": "fr, de-AT;q=0.8, en;q=0.5"})

    assert '<html lang="de">' in outside.get(german).text
    assert "Rund um den Hals" in outside.get(german).text
    assert '<html lang="en">' in outside.get(f"{german}?language=en").text
    assert "Rund um den Hals" in outside.get(f"{way}?language=de").text
    assert '<html lang="en">' in outside.get(f"{way}?language=xx").text
    assert "Dieser Link" in browser.text
    assert_problem(outside.api.post(f"/orders/{number}/owner-links", {"language": "xx"}), 422,
                   "unreadable")  # fmt: skip


def test_nothing_of_it_is_an_enquiry(outside: Outside) -> None:
    outside.sent(outside.api.taken()["number"], TWICE)
    with outside.database.reading() as session:
        assert unseen(session) == []
