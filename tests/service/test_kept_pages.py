"""A kept page is the page that would be made now, whatever was changed and wherever."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from fastapi import FastAPI
from sqlalchemy import JSON, Table
from sqlalchemy.exc import SQLAlchemyError
from sqlmodel import SQLModel, col, select
from starlette.testclient import TestClient

from service.db import Database
from service.demo import fill_demo
from service.doors.roles import Role
from service.models import Enquiry, Order
from service.owner.asking import make_link
from service.questions import answers_to, noting, still
from service.web.application import create_app
from service.web.kept import Kept, KeptPages
from tests.entering import cheap, let_in, signed_in
from tests.service.api import FixedClock
from tests.service.counting import counted
from tests.service.stocked import Stocked

NOW = FixedClock.now
ASKED = "2026-0010"
SHOWN = ("2026-0002", "2026-0003", "2026-0006", ASKED)
"""With a plan, bills and payments; quoted; finished, with its outcome; and by a stranger."""
OK = 200
MOST = 2
"""Rows of a table that are changed."""
TOKENS = {"sign_in", "account", "access_key"}
"""Who looks is in the key of what is kept, and is told by a question before it."""


@pytest.fixture
def shop(database: Database, clock: FixedClock) -> Database:
    """The demo shop."""
    clock.now = NOW
    with database.writing() as session:
        fill_demo(session, NOW)
    return database


@pytest.fixture
def app(shop: Database, clock: FixedClock) -> FastAPI:
    """A server of the shop."""
    return create_app(shop, clock, entrance=cheap())


@pytest.fixture
def client(app: FastAPI) -> TestClient:
    """The maker, signed in there."""
    return signed_in(TestClient(app, raise_server_exceptions=False))


@pytest.fixture
def full(client: TestClient, app: FastAPI, shop: Database) -> TestClient:
    """The maker of a shop with something of everything."""
    filled = Stocked(shop, app)
    filled.fill()
    paid = filled.api.post("/orders/2026-0002/payments", {"amount": "4.00"})
    assert paid.is_success, paid.text
    with shop.writing() as session:
        asked = session.exec(select(Order).where(Order.number == ASKED)).one()
        enquiry = session.exec(select(Enquiry).order_by(col(Enquiry.id).desc())).first()
        assert enquiry
        enquiry.order_id = asked.id
    return client


def _look(client: TestClient, number: str) -> tuple[int, str]:
    answer = client.get(f"/orders/{number}")
    return answer.status_code, answer.text


def _fresh(client: TestClient, number: str) -> tuple[int, str]:
    client.app.state.kept.forget()  # type: ignore[attr-defined]
    return _look(client, number)


def _others(value: Any, kind: Any) -> Iterator[Any]:  # noqa: ANN401 - any value of any column
    """Yield another value, or several, in the place of one."""
    if isinstance(kind, JSON):
        yield from _leaves(value)
    elif isinstance(value, bool):
        yield not value
    elif isinstance(value, int):
        yield value + 1
    elif isinstance(value, float):
        yield value * 1.5
    elif isinstance(value, str):
        yield f"{value[:-1]}7" if value else "said now"
    elif isinstance(value, datetime | date):
        yield value + timedelta(days=2)
    if value is not None and not isinstance(kind, JSON):
        yield None


def _leaves(value: Any) -> Iterator[Any]:  # noqa: ANN401 - any JSON
    """Yield a JSON with one of its leaves changed, of long lists the first and the last alone."""
    if isinstance(value, dict):
        for name, one in value.items():
            yield from ({**value, name: other} for other in _leaves(one))
    elif isinstance(value, list):
        for place in sorted({0, len(value) - 1} if value else ()):
            for other in _leaves(value[place]):
                yield [*value[:place], other, *value[place + 1 :]]
    elif isinstance(value, bool):
        yield not value
    elif isinstance(value, int | float):
        yield value * 2 + 1
    elif isinstance(value, str):
        yield value + "7"


Change = tuple[Table, dict[str, Any], dict[str, Any], dict[str, Any], tuple[str, ...]]


def _rows(database: Database, table: Table, most: int = MOST) -> list[dict[str, Any]]:
    """Return the last rows of a table, first of all those of the orders shown."""
    if table.name in TOKENS:
        return []
    with database.reading() as session:
        ids = set(session.exec(select(Order.id).where(col(Order.number).in_(SHOWN))))
        rows = [dict(row) for row in session.execute(table.select()).mappings()]
    return sorted(rows, key=lambda row: row.get(_whose(table)) in ids)[-most:]


def _whose(table: Table) -> str:
    return "id" if table.name == "hood_order" else "order_id"


def _changes(database: Database, leaves: int) -> Iterator[Change]:
    """Yield table, key of a row, a column as it might be and as it is, and the pages to look at.

    That is the page of its order, where a row belongs to one of those shown.
    """
    with database.reading() as session:
        numbers = {one.id: one.number for one in session.exec(select(Order))}
    for table in SQLModel.metadata.sorted_tables:
        keys = [column.name for column in table.primary_key]
        for row in _rows(database, table):
            where = {name: row[name] for name in keys}
            for column in table.columns:
                if column.name in keys:
                    continue
                others = list(_others(row[column.name], column.type))
                step = max(1, len(others) // leaves)
                for other in others[::step]:
                    whose = numbers.get(row.get(_whose(table)), "")
                    shown = (whose,) if whose in SHOWN else SHOWN
                    yield (
                        table,
                        where,
                        {column.name: other},
                        {column.name: row[column.name]},
                        shown,
                    )


def _put(database: Database, table: Table, where: dict[str, Any], values: dict[str, Any]) -> None:
    rows = table.update().where(*(table.c[name] == value for name, value in where.items()))
    with database.writing() as session:
        session.execute(rows.values(**values))


def test_whatever_is_changed_in_whatever_row_the_page_is_the_one_made_now(
    full: TestClient, shop: Database, clock: FixedClock
) -> None:
    now = {number: _look(full, number) for number in SHOWN}
    assert all(status == OK for status, _ in now.values())
    seen, same, refused = set(), 0, 0
    bare = create_app(shop, clock, entrance=cheap())
    never = signed_in(
        TestClient(create_app(shop, clock, entrance=cheap()), raise_server_exceptions=False)
    )
    bare.state.kept = KeptPages(most=0)
    for table, where, other, was, shown in list(_changes(shop, leaves=2)):
        try:
            _put(shop, table, where, other)
        except SQLAlchemyError:  # what no column takes changes nothing
            refused += 1
            continue
        for number in shown:
            kept = _look(full, number)
            fresh = _look(never, number)
            assert kept == fresh, (number, table.name, where, other)
            seen |= {table.name} if fresh != now[number] else set()
            same += fresh == now[number]
            now[number] = fresh
        if any(now[number][0] != OK for number in shown):  # what cannot be read hides all else
            _put(shop, table, where, was)
            now |= {number: _look(full, number) for number in shown}
    assert seen >= {
        "shop", "hood_order", "order_event", "outcome", "delivery", "bill", "payment", "enquiry",
    }  # fmt: skip
    assert same > refused


def test_a_row_that_comes_or_goes_is_seen(full: TestClient, shop: Database) -> None:
    for table in SQLModel.metadata.sorted_tables:
        for row in _rows(shop, table, 2):
            pages = [_look(full, number) for number in SHOWN]
            key = [table.c[one.name] == row[one.name] for one in table.primary_key]
            try:
                with shop.writing() as session:
                    session.execute(table.delete().where(*key))
            except SQLAlchemyError:  # others name it
                continue
            for number in SHOWN:
                assert _look(full, number) == _fresh(full, number), (table.name, row)
            with shop.writing() as session:
                session.execute(table.insert().values(**row))
            assert [_look(full, number) for number in SHOWN] == pages


def test_the_second_look_makes_no_page(client: TestClient, shop: Database) -> None:
    for number in SHOWN[:3]:
        first = _fresh(client, number)
        kept = client.app.state.kept  # type: ignore[attr-defined]
        assert len(kept._kept) == 1  # noqa: SLF001 - that it is the kept one that answers
        ((about, was),) = kept._kept.items()  # noqa: SLF001
        kept.keep(about, Kept(was.asked, was.answered, b"as it was kept"))
        with counted(shop) as sent:
            assert _look(client, number) == (OK, "as it was kept")
        assert len(sent) <= len(was.asked) + 3  # who looks, and twice BEGIN
        kept.forget()
        assert _look(client, number) == first


def test_another_server_sees_what_one_has_changed(
    client: TestClient, shop: Database, clock: FixedClock
) -> None:
    other = signed_in(TestClient(create_app(shop, clock, entrance=cheap())))
    pages = [_look(one, "2026-0003") for one in (client, other)]
    assert pages[0] == pages[1]
    answer = client.post(
        "/orders/2026-0003/payment", data={"amount": "5", "on": "", "form_token": _token(client)}
    )
    assert answer.status_code == OK
    assert _look(other, "2026-0003") == _fresh(client, "2026-0003") != pages[0]


def _token(client: TestClient) -> str:
    return str(client.headers["x-form-token"])


def test_each_sees_a_page_of_their_own(app: FastAPI, client: TestClient, shop: Database) -> None:
    let_in(shop, NOW, "Second Maker", mark="-two")
    let_in(shop, NOW, "Hanna Helper", Role.HELPER, mark="-helper")
    second = signed_in(TestClient(app), "-two")
    helper = signed_in(TestClient(app), "-helper")
    for _ in range(2):
        assert 'Signed in as <a href="/account">Tess Tamber' in _look(client, "2026-0003")[1]
        assert 'Signed in as <a href="/account">Second Maker' in _look(second, "2026-0003")[1]
        assert _look(helper, "2026-0003")[0] == 403
        assert _token(client) in _look(client, "2026-0003")[1]
        assert _token(client) not in _look(second, "2026-0003")[1]


@pytest.mark.parametrize("hours", [0, 23])
def test_at_any_hour_and_on_another_day_it_is_the_page_made_then(
    client: TestClient, shop: Database, clock: FixedClock, hours: int
) -> None:
    with shop.reading() as session:
        numbers = list(session.exec(select(Order.number)))
    assert len(numbers) > len(SHOWN)
    early = [_look(client, number) for number in numbers]
    for later in (timedelta(hours=hours), timedelta(days=1, hours=hours)):
        clock.now = NOW.replace(hour=0) + later
        for number, before in zip(numbers, early, strict=True):
            _look(client, number)
            assert before[0] == OK
            assert _look(client, number) == _fresh(client, number), (number, later)


def test_what_changes_within_the_day_is_not_kept(
    client: TestClient, shop: Database, clock: FixedClock
) -> None:
    with shop.writing() as session:
        make_link(session, "2026-0005", "en", NOW, 1)
    clock.now = NOW + timedelta(hours=23)
    linked = _look(client, "2026-0005")
    clock.now = NOW + timedelta(days=1, hours=1)
    _look(client, "2026-0005")
    assert _look(client, "2026-0005") != linked


def test_an_answer_is_another_one_if_its_kind_is(database: Database) -> None:
    with database.asking() as connection:
        connection.exec_driver_sql("SELECT 0")  # begins the transaction, which is no question
        with noting(connection) as asked:
            connection.exec_driver_sql("SELECT 1")
        answered = answers_to(connection, asked)
        assert still(connection, asked, answered)
        for other in ("SELECT 1.0", "SELECT '1'", "SELECT 2", "SELECT NULL", "SELECT 1, 1"):
            assert not still(connection, [(other, ())], answered)
        one, two = ([(f"SELECT '{'a' * 900}{mark}{'a' * 900}'", ())] for mark in "bc")
        assert not still(connection, two, answers_to(connection, one))


def test_nothing_is_noted_that_was_asked_before_or_after(database: Database) -> None:
    with database.asking() as connection:
        connection.exec_driver_sql("SELECT 1")
        with noting(connection) as asked:
            connection.exec_driver_sql("SELECT 2")
        connection.exec_driver_sql("SELECT 3")
    assert [statement for statement, _ in asked] == ["SELECT 2"]


def test_the_page_not_looked_at_longest_gives_way(database: Database) -> None:
    kept = KeptPages(most=2)
    with database.asking() as connection:
        for name in ("one", "two"):
            kept.keep(name, Kept((), (), name.encode()))
        assert kept.get("one", connection) == b"one"
        kept.keep("three", Kept((), (), b"three"))
        found = [kept.get(name, connection) for name in ("one", "two", "three")]
    assert found == [b"one", None, b"three"]
