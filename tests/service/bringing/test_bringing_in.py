"""A file is brought in whole or not at all, and once; on both databases."""

from datetime import UTC, datetime

import pytest
from sqlalchemy import text

from service import errands
from service.bodies import OrderIn
from service.bringing.bodies import Kind, ReportOut
from service.bringing.doing import bring_in
from service.bringing.files import bring_in_at_once
from service.bringing.sheet import read_sheet, sample
from service.bringing.spool import Spool
from service.bringing.survey import survey
from service.db import Database
from service.errors import NotAllowedError, StaleError
from service.listing import Sought, orders_like
from service.models import Buyer, Dog
from service.orders import Found, found, take_order
from service.shop import save_shop, shop_of
from tests.service.api import Api, Json, assert_problem, order_body

NOW = datetime(2026, 5, 1, 8, 30, tzinfo=UTC)
HEAD = (
    "buyer,e-mail,phone,dog,breed,weight,neck length,neck girth,nape length,face girth,yarn,"
    "fibres,ball metres,ball grams,your number,taken on,state,odd because,grams,minutes,collar\n"
)
HOOD = "Beagle,11 kg,8 cm,35.5 cm,11.5 cm,38 cm,Sedge Aran,acrylic 100,170,100"


def line(buyer: str = "Odo Quill", dog: str = "Rex", rest: str = ",,,,,,", phone: str = "") -> str:
    return f"{buyer},o@quill.example,{phone},{dog},{HOOD},{rest}\n"


def bring(database: Database, *lines: str) -> ReportOut:
    return bring_in_at_once(database, (HEAD + "".join(lines)).encode(), "", NOW)


def looked(database: Database, *lines: str, yarn: str = "") -> ReportOut:
    with database.reading() as session:
        sheet = read_sheet((HEAD + "".join(lines)).encode())
        return survey(session, sheet, yarn, NOW).report


def orders(database: Database) -> list[Found]:
    with database.reading() as session:
        rows, _ = orders_like(session, Sought(most=200))
        return [found(session, row.number) for row in reversed(rows)]


def names_of(database: Database, column: str) -> list[str]:
    return [getattr(one.order, column) for one in orders(database)]


def dogs(database: Database) -> list[Dog]:
    with database.reading() as session:
        return [session.get_one(Dog, one.order.dog_id) for one in orders(database)]


def phones(database: Database) -> list[str]:
    with database.reading() as session:
        return [session.get_one(Buyer, one.order.buyer_id).phone for one in orders(database)]


def counted(database: Database) -> dict[str, int]:
    names = ("buyer", "dog", "hood_order", "order_event", "remembered_key", "outcome")
    with database.reading() as session:
        return {
            name: session.execute(text(f"SELECT count(*) FROM {name}")).scalar_one()  # noqa: S608
            for name in names
        }


def test_the_sample_file_makes_an_order_as_it_was_and_what_became_of_it(
    database: Database,
) -> None:
    report = bring_in_at_once(database, sample(), "", NOW)
    past, open_one = orders(database)

    assert report.counts == {Kind.ORDER: 2, Kind.DOG: 1}
    assert (report.new_buyers, report.new_dogs) == (3, 3)
    assert past.order.number == "2026-0001"
    assert past.order.state == "handed over"
    assert past.order.created_at == datetime(2026, 3, 14, 12, tzinfo=UTC)
    assert past.plan
    assert past.outcome
    assert past.outcome.told["grams"] == 96
    assert past.outcome.said["grams"] == pytest.approx(past.plan.yarn.model_grams)
    assert past.events[0].change["said"] == "Brought in from a file, line 2, your number A 17."
    assert open_one.order.asked["measurements"]["neck_girth"] == "14 1/2 in"
    with database.reading() as session:
        by_own_number, _ = orders_like(session, Sought(words="a 18"))
    assert [one.number for one in by_own_number] == [open_one.order.number]


def test_an_order_brought_in_has_the_plan_of_one_that_is_taken(database: Database) -> None:
    bring(database, line())
    (brought,) = orders(database)
    with database.writing() as session:
        taken = take_order(session, OrderIn.model_validate(brought.order.asked), NOW)

    assert taken.plan == brought.order.plan
    assert taken.findings == brought.order.findings
    assert (taken.buyer_id, taken.dog_id) == (brought.order.buyer_id, brought.order.dog_id)
    assert taken.number == "2026-0002"


def test_the_same_file_twice_is_one_file(database: Database) -> None:
    lines = (line(), line(dog="Ida", rest="7,,,,,,"))
    bring(database, *lines)
    before = counted(database)
    report = bring(database, *lines)

    assert report.counts == {Kind.AGAIN: 2}
    assert not report.anything
    assert "2026-0001" in report.lines[0].does[0]
    assert counted(database) == before


def test_a_longer_file_adds_only_what_is_new(database: Database) -> None:
    bring(database, line())
    report = bring(database, line(), line(dog="Ida"), "Pim Roe,p@roe.example" + "," * 19 + "\n")

    assert report.counts == {Kind.AGAIN: 1, Kind.ORDER: 1, Kind.BUYER: 1}
    assert report.lines[1].does[:2] == ["known buyer", "new dog"]
    assert names_of(database, "dog_name") == ["Rex", "Ida"]


def test_one_line_that_is_wrong_keeps_the_whole_file_out(database: Database) -> None:
    bad = line(dog="Ida").replace("35.5 cm", "35.5 sm")
    with pytest.raises(NotAllowedError) as refused:
        bring(database, line(), bad)

    assert refused.value.fields.keys() == {"line 3, neck girth"}
    assert set(counted(database).values()) == {0}


def test_what_fails_while_it_is_written_leaves_nothing(database: Database) -> None:
    def tick(done: int, _whole: int) -> None:
        if done:
            raise KeyboardInterrupt

    with Spool() as spool:
        with database.reading() as session:
            seen = survey(session, read_sheet((HEAD + line()).encode()), "", NOW, spool)
        with pytest.raises(KeyboardInterrupt), database.writing() as session:
            bring_in(session, spool, seen.shop_version, NOW, tick)

    assert set(counted(database).values()) == {0}
    assert bring(database, line()).counts == {Kind.ORDER: 1}


def test_a_change_between_the_look_and_the_writing_is_seen(database: Database) -> None:
    with Spool() as spool:
        with database.reading() as session:
            seen = survey(session, read_sheet((HEAD + line()).encode()), "", NOW, spool)
        bring(database, line())
        with pytest.raises(StaleError), database.writing() as session:
            bring_in(session, spool, seen.shop_version, NOW)
        with database.writing() as session:
            shop, version = shop_of(session)
            save_shop(session, shop, version)
        with pytest.raises(StaleError), database.writing() as session:
            bring_in(session, spool, seen.shop_version, NOW)

    assert len(orders(database)) == 1


def test_two_lines_alike_are_asked_about_and_numbers_tell_them_apart(database: Database) -> None:
    twins = looked(database, line(), line())
    numbered = looked(database, line(rest="7,,,,,,"), line(rest="8,,,,,,"))
    same = looked(database, line(rest="7,,,,,,"), line(dog="Ida", rest="7,,,,,,"))

    assert "same as line 2" in twins.lines[0].wrong["line"]
    assert numbered.counts == {Kind.ORDER: 2}
    assert "line 2" in same.lines[0].wrong["your number"]


def test_a_known_number_with_other_figures_is_refused(database: Database) -> None:
    bring(database, line(rest="7,,,,,,"))
    report = looked(database, line(dog="Ida", rest="7,,,,,,"))

    assert "2026-0001" in report.lines[0].wrong["your number"]


def test_an_odd_number_stops_a_promise_and_not_an_enquiry_nor_one_with_a_reason(
    database: Database,
) -> None:
    odd = line().replace("35.5 cm", "14.5 cm")
    enquiry, promise = (
        looked(database, odd),
        looked(database, odd.replace(",,,,,,\n", ",,accepted,,,,\n")),
    )
    because = line(rest=",,accepted,measured twice,,,").replace("35.5 cm", "14.5 cm")
    bring(database, because)
    (kept,) = orders(database)

    assert enquiry.counts == {Kind.ORDER: 1}
    assert enquiry.unplanned == 1
    assert "kept without a plan" in enquiry.lines[0].does[-1]
    assert "odd because" in promise.lines[0].wrong["neck girth"]
    assert kept.plan
    assert kept.order.asked["accepted"][0]["reason"] == "measured twice"


def test_a_known_buyer_keeps_what_the_file_leaves_out(database: Database) -> None:
    bring(database, line(phone="0151 22"))
    bring(database, line(dog="Ida"))
    bring(database, line(dog="Bob", phone="0151 33"))

    assert phones(database) == ["0151 33"] * 3


def test_numbers_of_long_ago_do_not_take_the_place_of_newer_ones(database: Database) -> None:
    bring(database, line())
    bring(database, line(rest="1,2025-01-05,,,,,").replace("35.5 cm", "34 cm"))
    bring(database, line(rest="2,2026-05-01,,,,,").replace("35.5 cm", "36 cm"))
    rows = orders(database)

    known = dogs(database)
    assert known[0].measurements["neck_girth"] == "36 cm"
    assert [one.order.number for one in rows] == ["2026-0001", "2025-0001", "2026-0002"]
    assert len({one.id for one in known}) == 1


def test_over_the_wire_a_file_is_looked_at_and_then_done(api: Api) -> None:
    body: Json = {"name": "a.csv", "csv": HEAD + line()}
    kept = api.post("/bring-in", body).json()
    assert kept["state"] == "looked at"
    assert kept["report"]["counts"] == {"order": 1}
    assert api.numbers() == []

    done = api.post(f"/bring-in/{kept['id']}/do", None).json()
    again = api.post(f"/bring-in/{kept['id']}/do", None).json()
    same_file = api.post("/bring-in", body).json()

    assert done["state"] == again["state"] == "done"
    assert done["report"]["lines"] == []
    assert api.numbers() == ["2026-0001"]
    assert "This very file was brought in on 14 March 2026" in same_file["report"]["before"]


def test_over_the_wire_a_file_with_a_wrong_line_is_refused(api: Api) -> None:
    kept = api.post("/bring-in", {"csv": HEAD + line().replace("38 cm", "38 em")}).json()
    refused = api.post(f"/bring-in/{kept['id']}/do", None)

    problem = assert_problem(refused, 409, "not-allowed-now")
    assert list(problem["fields"]) == ["line 2, face girth"]
    assert_problem(api.post("/bring-in", {"csv": "nothing"}), 422, "unreadable")
    assert_problem(
        api.post("/bring-in", {"csv": HEAD + line(), "yarn": "none"}), 422, "unreadable"
    )
    assert_problem(api.client.get("/api/v1/bring-in/999"), 404, "not-found")


def test_the_yarn_of_lines_that_name_none_is_one_of_the_shelf(api: Api) -> None:
    yarn = order_body()["yarn"]
    api.post("/yarns", yarn)
    bare = HEAD + line().replace("Sedge Aran,acrylic 100,170,100,", ",,,,N 1")
    kept = api.post("/bring-in", {"csv": bare, "yarn": yarn["name"].upper()}).json()
    without = api.post("/bring-in", {"csv": bare}).json()

    assert kept["report"]["counts"] == {"order": 1}, kept
    assert "yarn" in without["report"]["lines"][0]["wrong"]


def test_a_long_file_is_worked_on_beside_and_its_progress_is_told(
    api: Api, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(errands, "WAIT", 0.01)
    body = HEAD + "".join(line(dog=f"Dog {n}") for n in range(160))
    kept = api.post("/bring-in", {"csv": body}).json()
    seen = [kept]
    while seen[-1]["state"] == "working":
        seen.append(api.client.get(f"/api/v1/bring-in/{kept['id']}").json())
    assert seen[-1]["state"] == "looked at"
    seen.append(api.post(f"/bring-in/{kept['id']}/do", None).json())
    while seen[-1]["state"] == "working":
        seen.append(api.client.get(f"/api/v1/bring-in/{kept['id']}").json())

    assert seen[-1]["state"] == "done"
    assert any(0 < one["done"] < one["whole"] for one in seen)
    assert len(api.numbers(limit=200)) == 160
