"""The calendar: read again by a parser, held to RFC 5545 line by line, on both databases."""

import re
from datetime import date, timedelta
from typing import Any

import pytest
from icalendar import Calendar
from sqlmodel import Session, select

from service.db import Database
from service.models import CalendarLink, Order
from service.promise import Capacity, Work, spells
from tests.service.api import DOG, Api, FixedClock, assert_problem, order_body

HOSTILE = (
    "Semi; colon, comma \\ back\\nslash",
    "END:VEVENT",
    'quo"ted: "name"',
    "ß" * 37 + "é😀" * 40,
    "\u202egnirts",
)
WEEK = {"hours": {"monday": 2, "wednesday": 2}, "posting": 3}


def lines_of(content: bytes) -> list[str]:
    """The content lines, unfolded, of a file that keeps RFC 5545's section 3.1; else a failure."""
    assert content.endswith(b"\r\n")
    physical = content.removesuffix(b"\r\n").split(b"\r\n")
    assert not any(b"\r" in line or b"\n" in line for line in physical)
    assert max(map(len, physical)) <= 75
    assert all(physical)
    text = content.decode()
    assert re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", text) is None
    lines = re.sub("\r\n[ \t]", "", text).removesuffix("\r\n").split("\r\n")
    assert all(re.match(r"[A-Z0-9-]+[;:]", line) for line in lines)
    return lines


def blocks_close(lines: list[str]) -> bool:
    """Whether each component ends where it should."""
    opened: list[str] = []
    for line in lines:
        if line.startswith("BEGIN:"):
            opened.append(line[6:])
        elif line.startswith("END:") and (not opened or opened.pop() != line[4:]):
            return False
    return not opened


def unescaped(line: str) -> str:
    """A text's value by section 3.3.11, read by the tests' own hand."""
    value = line.partition(":")[2]
    assert re.fullmatch(r"(?:[^\\;,\n]|\\[\\;,nN])*", value), value
    return re.sub(r"\\(.)", lambda found: "\n" if found[1] in "nN" else found[1], value)


def feed(api: Api, *, hook: bool = False) -> bytes:
    answer = api.client.get("/api/v1/calendar", params={"hook": hook})
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    assert blocks_close(lines_of(answer.content))
    return answer.content


def read(content: bytes) -> list[Any]:
    """The events of a file, as another program reads them."""
    return list(Calendar.from_ical(content).events)


def events(api: Api, *, hook: bool = False) -> list[Any]:
    return read(feed(api, hook=hook))


def test_a_due_date_is_a_day_with_the_dog_the_number_and_the_way_to_the_order(api: Api) -> None:
    order = api.taken(order_body(due="2026-04-10"))

    (event,) = events(api)

    assert event["summary"] == f"Bramble: hood due, {order['number']}"
    assert event["url"] == f"http://testserver/orders/{order['number']}"
    assert (event.decoded("dtstart"), event.decoded("dtend")) == (
        date(2026, 4, 10),
        date(2026, 4, 11),
    )
    assert "DTSTART;VALUE=DATE:20260410" in lines_of(feed(api))
    assert event["status"] == "CONFIRMED"
    assert event.decoded("last-modified") == event.decoded("dtstamp") == FixedClock.now


def test_neither_price_nor_buyer_nor_address_is_in_it(api: Api) -> None:
    secret = {"name": "Quillon Sabre", "email": "quillon@sabre.example", "address": "9 Ember Row"}
    api.shop({"address": "1 Weir", "email": "a@weir.example", "capacity": WEEK})
    order = api.moved(api.taken(order_body(buyer=secret, notes="allergic", due="2026-04-10")),
                      "accepted")  # fmt: skip
    text = " ".join(lines_of(feed(api, hook=True)))
    for word in (*secret.values(), "allergic", "1 Weir", "@weir", order["plan"]["price"]["total"]):
        assert word not in text


def test_a_move_keeps_the_uid_and_counts_the_sequence_up(api: Api, clock: FixedClock) -> None:
    order = api.taken(order_body(due="2026-04-10"))
    (before,) = events(api)
    clock.now += timedelta(hours=3)
    assert api.change(order, {"due": "2026-05-02"}).status_code == 200

    (after,) = events(api)

    assert after["uid"] == before["uid"]
    assert after["sequence"] == before["sequence"] + 1
    assert after.decoded("last-modified") == clock.now
    assert after.decoded("created") == before.decoded("created") == FixedClock.now
    assert after.decoded("dtstart") == date(2026, 5, 2)


def test_a_cancelled_order_says_so_for_sixty_days(api: Api, clock: FixedClock) -> None:
    api.moved(api.taken(order_body(due="2026-04-10")), "cancelled")
    (event,) = events(api)
    assert (event["status"], event["sequence"]) == ("CANCELLED", 1)

    clock.now += timedelta(days=27 + 60)
    assert len(events(api)) == 1
    clock.now += timedelta(days=1)
    assert events(api) == []


def test_what_is_handed_over_or_has_no_date_is_not_in_it(api: Api) -> None:
    done = api.taken(order_body(due="2026-04-10"))
    api.taken(order_body())
    done = api.moved(done, "accepted", "making", "finished")
    assert len(events(api)) == 1
    api.moved(done, "handed over")
    assert events(api) == []


def test_a_calendar_without_entries_still_holds_the_component_it_must(api: Api) -> None:
    content = feed(api)
    assert [one.name for one in Calendar.from_ical(content).subcomponents] == ["VTIMEZONE"]
    for line in ("VERSION:2.0", "CALSCALE:GREGORIAN"):
        assert line in lines_of(content)


def test_every_event_has_what_the_rfc_demands_and_no_two_an_id(api: Api) -> None:
    api.shop({"capacity": WEEK})
    for day in ("2026-04-10", "2026-04-10", "2026-05-01"):
        api.moved(api.taken(order_body(due=day)), "accepted")
    found = events(api, hook=True)
    assert len(found) == 6
    assert len({str(one["uid"]) for one in found}) == 6
    for one in found:
        for name in ("uid", "dtstamp", "dtstart"):
            assert not isinstance(one[name], list)


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_stays_a_name(api: Api, name: str) -> None:
    api.shop({"name": name})
    order = api.taken(order_body(dog={**DOG, "name": name}, due="2026-04-10"))
    content = feed(api)

    (event,) = read(content)
    summary = next(line for line in lines_of(content) if line.startswith("SUMMARY"))

    assert event["summary"] == f"{name}: hood due, {order['number']}"
    assert unescaped(summary) == f"{name}: hood due, {order['number']}"
    title = next(line for line in lines_of(content) if line.startswith("X-WR-CALNAME"))
    assert unescaped(title) == name


def test_the_days_at_the_hook_follow_the_queue(api: Api) -> None:
    api.shop({"capacity": {**WEEK, "off": [{"first": "2026-03-18", "last": "2026-03-18"}]}})
    first = api.moved(api.taken(order_body(due="2026-04-10")), "accepted")
    api.moved(api.taken(order_body(due="2026-05-10")), "accepted")
    found = [one for one in events(api, hook=True) if "at the hook" in one["summary"]]

    assert found[0]["summary"].endswith(first["number"])
    begin, end = found[0].decoded("dtstart"), found[0].decoded("dtend")
    assert begin == date(2026, 3, 16)  # a Saturday is today; the Monday after it has hours
    hours = sum(2 for day in range((end - begin).days)
                if (begin + timedelta(day)).weekday() in {0, 2}
                and begin + timedelta(day) != date(2026, 3, 18))  # fmt: skip
    assert 0 <= hours * 60 - first["plan"]["labour"]["minutes"] < 120
    assert found[1].decoded("dtstart") >= end - timedelta(days=1)
    assert "sequence" not in found[0]


def test_no_hood_begins_before_the_one_before_it_ends() -> None:
    works = [Work("a", 120, 120), Work("b", 60, 60), Work("c", 60, 60)]
    found = spells(works, Capacity((60.0,) * 7), date(2026, 3, 14))
    days = [(one.key, one.first.day, one.last.day) for one in found]
    assert days == [("a", 15, 16), ("b", 17, 17), ("c", 18, 18)]


def test_an_address_opens_the_calendar_until_it_is_taken_back(api: Api) -> None:
    api.taken(order_body(due="2026-04-10"))
    made = api.post("/calendar/addresses", None).json()
    path = made["address"].removeprefix("http://testserver")
    assert re.fullmatch(r"/calendar/[A-Za-z0-9_-]{22}\.ics", path)

    seen = api.client.get(path)
    assert seen.content == feed(api)
    assert seen.headers["content-type"] == "text/calendar; charset=utf-8"
    assert seen.headers["x-robots-tag"] == "noindex, nofollow"
    assert seen.headers["referrer-policy"] == "no-referrer"
    again = api.client.get(path, headers={"If-None-Match": seen.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert api.client.head(path).status_code == 200

    listed = api.client.get("/api/v1/calendar/addresses").json()
    assert listed == [{"id": made["id"], "made_at": made["made_at"], "address": ""}]
    gone = f"/api/v1/calendar/addresses/{made['id']}"
    assert api.client.delete(gone).status_code == 204
    assert api.client.get(path).status_code == 404
    assert_problem(api.client.delete(gone), 404, "not-found")


def test_the_secret_is_nowhere_kept(api: Api, database: Database) -> None:
    secret = api.post("/calendar/addresses", None).json()["address"][-26:-4]
    with database.reading() as session:
        (row,) = session.exec(select(CalendarLink)).all()
    assert len(row.token_hash) == 64
    assert secret not in row.model_dump_json()


@pytest.mark.parametrize("secret", ["A" * 22, "A", "../orders", "%00", "A" * 500, "ü" * 22])
def test_a_guess_opens_nothing(api: Api, secret: str) -> None:
    answer = api.client.get(f"/calendar/{secret}.ics")
    assert answer.status_code == 404
    assert "BEGIN" not in answer.text


def test_a_link_to_measure_does_not_open_the_calendar_nor_the_other_way(api: Api) -> None:
    order = api.taken()
    link = api.post(f"/orders/{order['number']}/owner-links", {}).json()["address"][-22:]
    assert api.client.get(f"/calendar/{link}.ics").status_code == 404
    secret = api.post("/calendar/addresses", None).json()["address"][-26:-4]
    assert api.client.get(f"/measure/{secret}").status_code == 404


def test_there_are_five_addresses_at_most(api: Api) -> None:
    for _ in range(5):
        assert api.post("/calendar/addresses", None).status_code == 201
    assert_problem(api.post("/calendar/addresses", None), 409, "not-allowed-now")


def test_a_name_from_before_the_rules_breaks_no_line(api: Api, database: Database) -> None:
    order = api.taken(order_body(due="2026-04-10"))
    with database.writing() as session:
        _rename(session, order["number"], "Bad\r\nBEGIN:VALARM\x00\x0bDog")
    (event,) = events(api)
    assert event["summary"].startswith("BadBEGIN:VALARMDog: hood due")
    assert event.subcomponents == []


def _rename(session: Session, number: str, name: str) -> None:
    row = session.exec(select(Order).where(Order.number == number)).one()
    sign = "" if session.get_bind().dialect.name == "postgresql" else "\x00"  # it keeps no NUL
    row.dog_name = name.replace("\x00", sign)
    session.add(row)
