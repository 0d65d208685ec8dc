"""The owner's numbers: kept beside the order, corrected, taken over, declined."""

from collections.abc import Iterator

import pytest

from documents.language import Language, language
from service.bodies import ChecksIn, DogIn
from service.db import Database
from service.owner.readings import told_of
from service.owner.words import ASK, GOOD, WRONG, Said, said_of
from service.planning import examined
from sizing.doctor.learn import PUBLISHED
from sizing.exactness import COAT_SD, TAPE_SD, far_apart
from tests.service.api import Api, Json, assert_problem, lengths_given, order_body, stopped_body
from tests.service.outside import TWICE, Outside

BEAGLE = DogIn(name="Pipkin", breed="Beagle", weight="11 kg")
ENGLISH, GERMAN = language(), language("de")


@pytest.fixture
def outside(api: Api, database: Database) -> Outside:
    return Outside(api, database)


def said(
    typed: dict[str, str], spoken: Language = ENGLISH, dog: DogIn = BEAGLE
) -> dict[str, tuple[Said, ...]]:
    return said_of(told_of(typed, dog), dog, PUBLISHED, spoken)


def texts(found: dict[str, tuple[Said, ...]]) -> Iterator[str]:
    return (one.text for many in found.values() for one in many)


def test_sent_numbers_change_nothing_by_themselves(outside: Outside) -> None:
    order = outside.api.taken()
    numbers = outside.sent(order["number"], TWICE)
    now = outside.api.show(order["number"])

    assert (now["asked"], now["version"], now["plan"]) == (
        order["asked"], order["version"], order["plan"],
    )  # fmt: skip
    assert [event["kind"] for event in now["history"]][-1] == "the owner has measured"
    girth = next(one for one in numbers["lengths"] if one["field"] == "neck_girth")
    assert girth == {"field": "neck_girth", "readings": ["35", "36"], "times": 2,
                     "taken": "35.5 cm", "now": "35,5 cm"}  # fmt: skip


def test_taken_over_they_are_a_change_with_its_history(outside: Outside) -> None:
    order = outside.api.taken(stopped_body())
    typed = {**TWICE, "weight": "12 kg", "head_girth.1": "40", "note": "He wriggled."}
    numbers = outside.sent(order["number"], typed)
    answer = outside.take_over(order, numbers)

    assert answer.status_code == 200, answer.text
    changed = answer.json()
    assert order["plan"] is None
    assert changed["plan"] is not None
    assert lengths_given(changed) == {
        "neck_length": "8.1 cm", "neck_girth": "35.5 cm", "nape_length": "11.5 cm",
        "face_girth": "38.0 cm", "head_girth": "40.0 cm",
    }  # fmt: skip
    assert changed["asked"]["dog"]["weight"] == "12 kg"
    kinds = [event["kind"] for event in changed["history"]]
    assert kinds[-2:] == ["the owner's numbers were taken over", "changed"]
    assert outside.numbers(order["number"])[0]["state"] == "taken over"
    assert_problem(outside.take_over(changed, numbers), 409, "not-allowed-now")


def test_after_that_the_link_says_thank_you_and_takes_nothing(outside: Outside) -> None:
    order = outside.api.taken()
    way = outside.way(outside.link(order["number"]))
    outside.send(way, TWICE)
    outside.take_over(order, outside.numbers(order["number"])[0])
    page, sent = outside.get(way), outside.send(way, {**TWICE, "neck_girth.1": "50"})

    assert "this page has done its work" in page.text
    assert "<input" not in page.text
    assert sent.text == page.text
    assert outside.numbers(order["number"])[0]["lengths"][1]["taken"] == "35.5 cm"


def test_an_owner_comes_back_and_corrects(outside: Outside) -> None:
    order = outside.api.taken()
    way = outside.way(outside.link(order["number"]))
    outside.send(way, TWICE)
    first = outside.numbers(order["number"])[0]
    assert 'value="8.2"' in outside.get(way).text
    outside.send(way, {**TWICE, "neck_girth.1": "36"})
    (second,) = outside.numbers(order["number"])

    assert (first["version"], second["version"]) == (1, 2)
    assert second["lengths"][1]["taken"] == "36.0 cm"
    assert_problem(outside.take_over(order, second, seen=1), 412, "changed-meanwhile")
    assert outside.api.show(order["number"])["version"] == order["version"]
    history = outside.api.show(order["number"])["history"]
    assert [event["kind"] for event in history].count("the owner has measured") == 1
    assert outside.take_over(order, second).status_code == 200


def test_declined_numbers_leave_the_order_and_the_link(outside: Outside) -> None:
    order = outside.api.taken()
    way = outside.way(outside.link(order["number"]))
    outside.send(way, TWICE)
    numbers = outside.numbers(order["number"])[0]
    path = f"/api/v1/orders/{order['number']}/owner-numbers/{numbers['id']}/decline"
    answer = outside.client.post(path, params={"seen": numbers["version"]})

    assert answer.json()[0]["state"] == "declined"
    assert outside.api.show(order["number"])["asked"] == order["asked"]
    assert 'value="8.2"' not in outside.get(way).text
    assert "have arrived" in outside.send(way, TWICE).text
    assert outside.numbers(order["number"])[0]["state"] == "waiting"


def test_they_are_for_one_order_only(outside: Outside) -> None:
    order, other = outside.api.taken(), outside.api.taken(order_body(dog={"name": "Moth"}))
    numbers = outside.sent(order["number"], TWICE)

    assert_problem(outside.take_over(other, numbers), 404, "not-found")
    assert outside.numbers(other["number"]) == []
    assert outside.api.show(other["number"])["asked"] == other["asked"]


def test_a_hood_on_the_hook_keeps_its_numbers(outside: Outside) -> None:
    order = outside.api.taken()
    way = outside.way(outside.link(order["number"]))
    outside.send(way, TWICE)
    numbers = outside.numbers(order["number"])[0]
    making = outside.api.moved(order, "accepted", "making")

    assert "this page has done its work" in outside.get(way).text
    assert_problem(outside.take_over(making, numbers), 409, "not-allowed-now")
    assert outside.numbers(order["number"])[0]["state"] == "waiting"
    assert_problem(outside.api.post(f"/orders/{order['number']}/owner-links", {}), 409,
                   "not-allowed-now")  # fmt: skip


def test_a_change_without_a_version_is_refused(outside: Outside) -> None:
    order = outside.api.taken()
    numbers = outside.sent(order["number"], TWICE)
    path = f"/api/v1/orders/{order['number']}/owner-numbers/{numbers['id']}/take-over"

    assert_problem(outside.client.post(path, params={"seen": 1}), 428, "version-missing")


@pytest.mark.parametrize(
    ("typed", "held"),
    [
        ({"unit": "cm"}, "at least one number"),
        ({**TWICE, "neck_girth.2": "a hand"}, "I cannot read this as a length"),
        ({**TWICE, "weight": "heavy"}, "12 kg or 26 lb"),
        ({**TWICE, "note": "x" * 501}, "more than fits"),
    ],
)
def test_what_cannot_be_read_is_asked_back_and_nothing_is_lost(
    outside: Outside, typed: Json, held: str
) -> None:
    number = outside.api.taken()["number"]
    answer = outside.send(outside.way(outside.link(number)), typed)

    assert answer.status_code == 422
    assert held in answer.text
    assert all(f'value="{text}"' in answer.text or text in answer.text for text in typed.values())
    assert outside.numbers(number) == []


@pytest.mark.parametrize(
    ("typed", "held"),
    [
        ({**TWICE, "neck_girth.1": "14.5", "neck_girth.2": "14.5"}, "round the neck again"),
        ({**TWICE, "nape_length.2": "14"}, "2.6 cm apart"),
        ({name: text for name, text in TWICE.items() if name != "face_girth.2"}, "once more"),
        ({name: text for name, text in TWICE.items() if "face" not in name}, "still missing"),
    ],
)
def test_what_looks_odd_is_asked_back_once_and_then_taken(
    outside: Outside, typed: Json, held: str
) -> None:
    number = outside.api.taken()["number"]
    way = outside.way(outside.link(number))
    first = outside.send(way, typed, "send")

    assert first.status_code == 200
    assert held in first.text
    assert "It is right as it is" in first.text
    assert outside.numbers(number) == []
    assert "have arrived" in outside.send(way, typed, "sure").text


def test_looking_keeps_nothing(outside: Outside) -> None:
    number = outside.api.taken()["number"]
    way = outside.way(outside.link(number))
    looked = outside.send(f"{way}/look", {"neck_girth.1": "14.5", "unit": "cm"}).json()

    assert [one["kind"] for one in looked["neck_girth"]] == ["ask"]
    assert "These two go well together: 8.1 cm." in outside.send(way, TWICE, "look").text
    assert outside.numbers(number) == []


def test_a_girth_in_inches_is_asked_back_kindly() -> None:
    found = said({**TWICE, "neck_girth.1": "14.5", "neck_girth.2": "14.5"})

    lengths = {
        "neck_length": "8.1",
        "neck_girth": "14.5",
        "nape_length": "11.5",
        "face_girth": "38",
    }
    known = ChecksIn.model_validate({"dog": BEAGLE.model_dump(), "measurements": lengths})
    diagnosis = examined(known).diagnosis
    assert diagnosis
    assert "About 36 cm would be usual" in str(diagnosis.ask_owner)  # as the maker's own page says
    (one,) = found["neck_girth"]
    assert one == Said(
        ASK,
        "Please measure round the neck again: about 36 cm would be usual for a Beagle. Did you"
        " read the inches of the tape? Then write “in” behind the number.",
    )


def test_the_same_in_german_and_inches() -> None:
    typed = {"neck_girth.1": "36,5 Zoll", "neck_girth.2": "36.5 in", "unit": "in"}
    found = said({**typed, "face_girth.1": "15", "face_girth.2": "15 zoll"}, GERMAN)

    assert found["neck_girth"][0].text.startswith("Bitte miss noch einmal rund um den Hals")
    assert " Zoll bei der Rasse Beagle" in found["neck_girth"][0].text
    assert found["face_girth"][0] == Said(GOOD, "Diese beiden passen gut zusammen: 15 Zoll.")


def test_a_head_and_a_crown_are_asked_back_too() -> None:
    typed = {**TWICE, "head_girth.1": "15.75", "crown_length.1": "60"}
    found = said(typed)
    (asked,) = found["head_girth"]
    assert asked.text == (
        "Please measure round the head again, where it is widest: about 40 cm would be usual for a"
        " Beagle. Did you read the inches of the tape? Then write “in” behind the number."
    )
    assert found["crown_length"][0].kind == ASK
    assert "weight" not in found
    assert "am breitesten" in said(typed, GERMAN)["head_girth"][0].text
    assert "zwischen den Ohren" in said(typed, GERMAN)["crown_length"][0].text


def test_each_reading_may_have_its_own_unit() -> None:
    told = told_of({"neck_girth.1": "14 in", "neck_girth.2": "35.6 cm", "unit": "cm"}, BEAGLE)

    assert told.lengths["neck_girth"].mm == pytest.approx(355.8)
    assert told.taken() == {"neck_girth": "35.6 cm"}
    assert not told.lengths["neck_girth"].apart


def test_no_word_of_the_trade_is_said() -> None:
    """The words by which the maker's own pages name these lengths and doubts."""
    odd = [
        {**TWICE, name: text, f"{name[:-1]}2": text}
        for name in (*TWICE, "head_girth.1", "crown_length.1")
        if name.endswith(".1")
        for text in ("1.5", "14.5", "3.8", "95", "x")
    ]
    every = [
        text
        for typed in odd
        for spoken in (ENGLISH, GERMAN)
        for text in texts(said(typed, spoken))
    ]
    told = " ".join(every).lower()

    assert len(every) > 100
    trade = ("girth", "nape", "%", "finding", "gauge", "probab", "severity", "stop", "mm ")
    assert [word for word in trade if word in told] == []


def test_a_number_that_cannot_be_read_does_not_hush_the_others() -> None:
    found = said({**TWICE, "neck_length.1": "?", "neck_girth.1": "14.5", "neck_girth.2": "14.5"})

    assert [one.kind for one in found["neck_length"]] == [WRONG]
    assert [one.kind for one in found["neck_girth"]] == [ASK]


@pytest.mark.parametrize(
    ("first", "second", "apart"),
    [
        (115, 124, False),
        (115, 126, True),
        (360, 379.9, False),
        (360, 380.1, True),
        (40, 44.9, False),
        (40, 46, True),
    ],
)
def test_readings_are_apart_beyond_the_tape_s_error(
    first: float, second: float, *, apart: bool
) -> None:
    """1.96 * sqrt(2) * 3 % of 12 cm is 1.0 cm; 0.90 cm repeating: Bascunan et al. 2016.

    Beyond 2 cm they are apart whatever the length: two people differ by 2.3 cm at least, there.
    """
    assert far_apart(first, second, TAPE_SD.value) is apart
    assert far_apart(second, first, TAPE_SD.value) is apart


def test_a_thick_coat_lets_them_differ_more() -> None:
    assert far_apart(100, 112, TAPE_SD.value)
    assert not far_apart(100, 112, COAT_SD.value)
    assert far_apart(360, 395, COAT_SD.value)  # no coat makes more than 2 cm near
    thick = DogIn(breed="Beagle", weight="11 kg", risks=["thick coat"])
    typed = {"nape_length.1": "10", "nape_length.2": "11.2"}
    assert told_of(typed, BEAGLE).lengths["nape_length"].apart
    assert not told_of(typed, thick).lengths["nape_length"].apart
