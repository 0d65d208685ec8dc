"""A name that the papers cannot print is told on the screen, not found on the paper."""

from service.db import Database
from service.orders import found
from service.papernotes import paper_notes
from service.shop import shop_of
from tests.service.api import DOG, Api, Json, order_body, stopped_body


def notes(api: Api, database: Database, body: Json) -> tuple[str, ...]:
    number = api.taken(body)["number"]
    with database.reading() as session:
        return paper_notes(found(session, number), shop_of(session)[0])


def test_a_usual_order_has_no_notes(api: Api, database: Database) -> None:
    assert notes(api, database, order_body()) == ()


def test_an_order_without_a_plan_has_no_papers_and_no_notes(api: Api, database: Database) -> None:
    assert notes(api, database, stopped_body(notes="犬")) == ()


def test_letters_without_a_glyph_are_told_for_each_paper(api: Api, database: Database) -> None:
    told = notes(api, database, order_body(dog={**DOG, "name": "כלב"}))

    assert len(told) == 1
    assert told[0].startswith("Dog: ב (U+05D1), כ (U+05DB), ל (U+05DC) cannot be")
    assert told[0].endswith(
        "So it stands on: care sheet, work ticket, quote, measuring guide, label, parcel slip."
    )


def test_letters_of_the_address_are_told_for_the_papers_that_have_it(
    api: Api, database: Database
) -> None:
    buyer = {"name": "Ilka", "address": "犬 Lane"}

    told = notes(api, database, order_body(buyer=buyer))
    assert all("犬 (U+72AC)" in note for note in told)
    assert [note.split("stands on: ")[1] for note in told] == ["quote.", "parcel slip."]


def test_a_cut_is_told(api: Api, database: Database) -> None:
    told = notes(api, database, order_body(dog={**DOG, "name": "Bo" * 40}))

    assert any(
        note.startswith("Dog: cut to 24 characters. So it stands on: care sheet") for note in told
    )
