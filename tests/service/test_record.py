"""The record of finished hoods: what it compares, and what it says, on both databases."""

from datetime import timedelta
from decimal import Decimal
from math import sqrt

import pytest

from service.record.bodies import HoodOut, PairOut, mean
from service.record.words import said_of
from tests.service.api import SWATCH, YARN, Api, FixedClock, Json, order_body

RATES = {"currency": "EUR", "wage_per_hour": "16"}


def record(api: Api) -> Json:
    answer = api.client.get("/api/v1/figures")
    assert answer.status_code == 200, answer.text
    found: Json = answer.json()
    return found


def finished(api: Api, **changes: object) -> Json:
    order = api.taken(order_body(swatch=SWATCH, **changes))
    return api.moved(order, "accepted", "making", "finished")


def tell(api: Api, order: Json, **told: object) -> Json:
    answer = api.client.put(
        f"/api/v1/orders/{order['number']}/outcome",
        json=told,
        headers={"If-Match": f'"{order["version"]}"'},
    )
    assert answer.status_code == 200, answer.text
    found: Json = answer.json()
    return found


def work(order: Json) -> float:
    """The planned minutes without rest."""
    tasks: list[Json] = order["plan"]["labour"]["tasks"]
    return float(sum(one["minutes"] for one in tasks if not one["name"].startswith("rest")))


def test_an_empty_shop_has_an_empty_record(api: Api) -> None:
    found = record(api)
    assert (found["hoods"], found["months"], found["yarns"]) == ([], [], [])
    assert set(found["said"].values()) == {""}


def test_a_hood_is_compared_with_its_own_plan(api: Api) -> None:
    order = finished(api)
    planned = order["plan"]["yarn"]["grams"]["likely"]
    tell(api, order, grams=planned * 1.25, minutes=work(order) * 0.9)

    (hood,) = record(api)["hoods"]

    assert hood["number"] == order["number"]
    assert hood["grams"]["planned"] == pytest.approx(planned)
    assert hood["grams"]["more"] == pytest.approx(0.25)
    assert hood["grams"]["within"] is (planned * 1.25 <= order["plan"]["yarn"]["grams"]["high"])
    assert hood["minutes"]["more"] == pytest.approx(-0.1)
    assert hood["minutes"]["low"] < work(order) < hood["minutes"]["high"]
    assert hood["month"] == "2026-03"


def test_as_planned_and_unpaid_an_hour_earns_what_was_planned(api: Api) -> None:
    api.shop({"rates": RATES})
    order = finished(api)
    tell(api, order, minutes=work(order))
    (hood,) = record(api)["hoods"]
    assert hood["earned"] == hood["earned_planned"]
    assert Decimal(hood["earned"]) >= 16  # the wage, and the profit with it


def test_twice_the_time_halves_the_hour_and_a_payment_counts_instead_of_the_price(
    api: Api,
) -> None:
    api.shop({"rates": {**RATES, "overhead": "0", "fee_share": "0", "tax": "0", "margin": "0"}})
    order = finished(api)
    order = tell(api, order, minutes=work(order) * 2, sure=True)
    (hood,) = record(api)["hoods"]
    assert float(hood["earned"]) == pytest.approx(float(hood["earned_planned"]) / 2, abs=0.01)

    paid = Decimal(hood["price"]) + 30
    assert api.post(f"/orders/{order['number']}/payments", {"amount": str(paid)}).is_success
    (after,) = record(api)["hoods"]
    hours = order["plan"]["labour"]["minutes"] * 2 / 60
    more = Decimal(after["earned"]) - Decimal(hood["earned"])
    assert float(more) == pytest.approx(30 / hours, abs=0.011)
    assert Decimal(after["paid"]) == paid


def test_what_is_not_told_is_asked_for_and_compared_with_nothing(api: Api) -> None:
    untold = finished(api)
    told = tell(api, finished(api), collar="good")
    found = record(api)
    assert found["untold"] == [untold["number"]]
    (hood,) = found["hoods"]
    assert (hood["number"], hood["grams"], hood["minutes"], hood["earned"]) == (
        told["number"], None, None, None,
    )  # fmt: skip


def test_hoods_are_grouped_by_the_month_they_were_finished_in_and_by_yarn(
    api: Api, clock: FixedClock
) -> None:
    other = {**YARN, "name": "Sorrel Wool"}
    first, second = finished(api), finished(api, yarn=other)
    clock.now += timedelta(days=31)
    third = finished(api)
    for order, times in ((first, 1.1), (second, 1.3), (third, 0.9)):
        grams = order["plan"]["yarn"]["grams"]["likely"] * times
        tell(api, order, minutes=work(order) * times, grams=grams)

    found = record(api)

    april, march = found["months"]
    assert (april["name"], april["hoods"]) == ("2026-04", 1)
    assert (march["name"], march["hoods"]) == ("2026-03", 2)
    assert march["minutes_more"] == pytest.approx(sqrt(1.1 * 1.3) - 1)
    by_yarn = {one["name"]: one["grams_more"] for one in found["yarns"]}
    assert by_yarn == {
        "Hemlock Aran": pytest.approx(sqrt(1.1 * 0.9) - 1),
        "Sorrel Wool": pytest.approx(0.3),
    }


def test_it_says_what_the_last_hoods_took_and_what_new_plans_make_of_it(api: Api) -> None:
    for _ in range(2):
        order = finished(api)
        tell(api, order, minutes=work(order) * 1.2)
    found = record(api)
    said = found["said"]["time"]
    assert said.startswith("Your last two hoods took 20\u00a0% longer than planned.")
    more = round((found["minutes_factor"] - 1) * 100)
    assert more > 3
    assert f"New plans already reckon with it: {more}\u00a0% more time" in said


def test_another_currency_stands_in_no_mean(api: Api) -> None:
    api.shop({"rates": {**RATES, "currency": "GBP"}})
    order = finished(api)
    tell(api, order, minutes=work(order))
    api.shop({"rates": RATES})
    found = record(api)
    assert found["hoods"][0]["currency"] == "GBP"
    assert found["months"][0]["earned"] is None
    assert found["said"]["earned"] == ""


@pytest.mark.parametrize(
    ("was", "inside", "said"),
    [
        (100.0, True, "took as much yarn as planned. That is within the plan\u2019s range."),
        (109.0, True, "took 9\u00a0% more yarn than planned. That is within"),
        (111.0, False, "took 11\u00a0% more yarn than planned. That is past its range."),
        (80.0, False, "took 20\u00a0% less yarn than planned. That is past its range."),
    ],
)
def test_a_pair_knows_its_range(was: float, *, inside: bool, said: str) -> None:
    pair = PairOut(planned=100, low=90, high=110, was=was)
    assert pair.within is inside
    assert said in said_of([_hood(pair)], (1.0, 1.0), Decimal(16), "EUR").yarn


def test_the_mean_of_twice_and_half_is_as_planned() -> None:
    assert mean([1.0, -0.5]) == pytest.approx(0)
    assert mean([]) is None


def _hood(grams: PairOut) -> HoodOut:
    return HoodOut(
        number="2026-0001", dog="Sedge", yarn="Y", month="2026-03", grams=grams, minutes=None,
        price=Decimal(50), currency="EUR", paid=Decimal(0), earned_planned=Decimal(16),
        earned=None,
    )  # fmt: skip
