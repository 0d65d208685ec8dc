"""Finished hoods teach the next ones: yarn, time, fit and usual lengths; on both databases."""

import pytest
from sqlalchemy import delete, update
from sqlmodel import Session, SQLModel, create_engine

from service.db import Database
from service.experience import _yarn, kept_offsets, prior_of
from service.models import Learned, Outcome, table_of
from service.told import Told
from sizing.doctor import PUBLISHED, Finished, learn
from sizing.dogs import Dog, Field
from tests.service.api import DOG, SWATCH, YARN, Api, Json, order_body

OTHER_YARN = {**YARN, "name": "Sorrel Wool", "fibres": [{"fibre": "wool", "percent": 100}]}


def finished(api: Api, **changes: object) -> Json:
    order = api.taken(order_body(swatch=SWATCH, **changes))
    for state in ("accepted", "making", "finished"):
        answer = api.move(order, state)
        assert answer.status_code == 200, answer.text
        order = answer.json()
    return order


def tell(api: Api, order: Json, told: Json, status: int = 200) -> Json:
    headers = {"If-Match": f'"{order["version"]}"'}
    path = f"/api/v1/orders/{order['number']}/outcome"
    answer = api.client.put(path, json=told, headers=headers)
    assert answer.status_code == status, answer.text
    found: Json = answer.json()
    return found


def grams(order: Json) -> float:
    likely: float = order["plan"]["yarn"]["grams"]["likely"]
    return likely


def test_a_hood_that_took_more_yarn_makes_the_next_estimate_larger_and_surer(api: Api) -> None:
    order = finished(api)
    tell(api, order, {"grams": grams(order) * 1.2})

    after = api.taken(order_body(swatch=SWATCH))

    assert grams(order) * 1.05 < grams(after) < grams(order) * 1.2
    assert "your finished hoods" in after["plan"]["yarn"]["basis"]
    before, now = (one["plan"]["yarn"]["grams"] for one in (order, after))
    assert now["high"] / now["low"] < before["high"] / before["low"]


def test_what_hoods_have_taught_is_never_out_of_date_whoever_changes_it(
    api: Api, database: Database
) -> None:
    """It is kept in memory: another server, or a hand, changes a row without a trace elsewhere."""
    order = finished(api)
    tell(api, order, {"grams": grams(order) * 1.2})
    first = grams(api.taken(order_body(swatch=SWATCH)))

    def change(factor: float) -> float:
        with database.writing() as session:
            told = {"grams": grams(order) * factor}
            session.execute(update(table_of(Outcome)).values(told=told))
        return grams(api.taken(order_body(swatch=SWATCH)))

    assert change(1.1) < first
    assert change(1.2) == first
    with database.writing() as session:
        session.execute(delete(table_of(Outcome)))
    assert grams(api.taken(order_body(swatch=SWATCH))) == grams(order)


def test_another_yarn_learns_less(api: Api) -> None:
    plain = api.taken(order_body(yarn=OTHER_YARN))
    order = finished(api)
    tell(api, order, {"grams": grams(order) * 1.2})

    same, other = api.taken(order_body()), api.taken(order_body(yarn=OTHER_YARN))

    assert grams(other) / grams(plain) > 1
    assert grams(other) / grams(plain) < grams(same) / grams(api.taken(order_body())) * 1.2
    assert "your finished hoods" in other["plan"]["yarn"]["basis"]


def test_another_hook_learns_less_than_the_same_and_more_than_nothing(api: Api) -> None:
    """A yarn and a hook: each is a factor of its own round the maker's."""
    plain = {hook: grams(api.taken(order_body(swatch=SWATCH, hook_mm=hook))) for hook in (5, 6)}
    order = finished(api, hook_mm=5)
    tell(api, order, {"grams": grams(order) * 1.3})

    after = {hook: grams(api.taken(order_body(swatch=SWATCH, hook_mm=hook))) for hook in (5, 6)}

    assert plain[5] == plain[6]  # the gauge is the swatch's, whatever hook is named
    assert plain[6] < after[6] < after[5]


def test_hoods_whose_hook_was_not_kept_count_as_the_yarns_own() -> None:
    told = {"grams": 130.0}
    of_old = Told(1, 1, "Wool", told, {"grams": 100.0})
    of_now, other = (of_old._replace(said={**of_old.said, "hook_mm": mm}) for mm in (5.0, 6.0))
    old, now, apart = (_yarn([one], "Wool", 5.0) for one in (of_old, of_now, other))
    assert old == now
    assert apart
    assert now
    assert 0 < apart.mean < now.mean


def test_a_hood_that_took_longer_makes_the_next_price_higher(api: Api) -> None:
    order = finished(api)
    tell(api, order, {"minutes": order["plan"]["labour"]["minutes"] * 1.5})

    after = api.taken(order_body(swatch=SWATCH))["plan"]

    assert after["labour"]["minutes"] > order["plan"]["labour"]["minutes"]
    assert float(after["price"]["total"]) > float(order["plan"]["price"]["total"])


def test_a_collar_felt_tight_loosens_the_dogs_next_hood_most(api: Api) -> None:
    order = finished(api)
    tell(api, order, {"collar": "tight"})

    own = api.taken(order_body(swatch=SWATCH))
    other = api.taken(order_body(swatch=SWATCH, dog={**DOG, "name": "Sedge"}))

    def collar(one: Json) -> float:
        girth: float = one["plan"]["target"]["collar_girth"]
        return girth

    assert collar(own) > collar(other) > collar(order)


def test_a_hood_that_fitted_sharpens_the_usual_lengths_and_a_tight_one_does_not(
    api: Api,
) -> None:
    body = {"dog": {"weight": "14 kg"}, "measurements": {"neck_girth": "36 cm"}}

    def sure(api: Api) -> float:
        diagnosis = api.post("/checks", body).json()["diagnosis"]
        assert diagnosis
        true: float = diagnosis["true_probability"]
        return true

    before = sure(api)
    order = finished(api, dog={"name": "Sedge", "weight": "14 kg"})
    order = tell(api, order, {"collar": "tight", "nape": "good", "opening": "good"})
    assert sure(api) == before
    tell(api, order, {"collar": "good", "nape": "good", "opening": "good"})
    assert sure(api) != before


def test_a_figure_far_from_the_plan_is_asked_back_and_then_kept_but_not_learned_from(
    api: Api,
) -> None:
    order = finished(api)
    problem = tell(api, order, {"grams": 5000}, 422)
    assert "The plan said about" in problem["fields"]["grams"]
    assert api.show(order["number"])["outcome"] is None

    kept = tell(api, order, {"grams": 5000, "sure": True})

    assert kept["outcome"]["grams"] == 5000
    assert grams(api.taken(order_body(swatch=SWATCH))) == pytest.approx(grams(order))


def test_what_was_told_can_be_told_again_and_is_in_the_history(api: Api) -> None:
    order = finished(api)
    first = tell(api, order, {"grams": 90, "note": "loves it"})
    second = tell(api, first, {"grams": 95})

    assert second["outcome"] == {**first["outcome"], "grams": 95, "note": ""}
    told = [event for event in second["history"] if event["kind"] == "outcome"]
    assert [event["change"]["grams"] for event in told] == [[None, 90.0], [90.0, 95.0]]
    assert told[0]["note"] == "loves it"
    tell(api, first, {"grams": 99}, 412)


def test_only_a_finished_hood_has_an_outcome(sqlite_api: Api) -> None:
    order = sqlite_api.taken(order_body(swatch=SWATCH))
    problem = tell(sqlite_api, order, {"grams": 90}, 409)
    assert "finish it first" in problem["detail"]


def test_what_was_learned_of_lengths_and_their_spread_is_read_back_as_it_was() -> None:
    body = {Field.NECK_GIRTH: 380.0, Field.FACE_GIRTH: 350.0}
    prior = learn(PUBLISHED, [Finished(Dog("Beagle", 12), body)])
    engine = create_engine("sqlite://")
    SQLModel.metadata.tables["learned"].create(engine)

    with Session(engine) as session:
        assert prior_of(session) is PUBLISHED
        session.add(Learned(id=1, offsets=kept_offsets(prior)))
        session.commit()
        assert prior_of(session) == prior
    engine.dispose()
    assert kept_offsets(PUBLISHED) == []
