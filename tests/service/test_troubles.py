"""A disk that is full, a database that is away: a clear answer, nothing lost, and on it goes."""

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

import psycopg
import pytest
from sqlalchemy import Engine, event
from starlette.testclient import TestClient

from service.db import Database, open_database
from service.schema import upgrade
from service.web.application import create_app
from tests.entering import let_in, with_key
from tests.service.api import Api, FixedClock, Json, assert_problem, order_body

Undo = Callable[[], None]


@pytest.fixture(scope="session")
def blank_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database file with the newest tables and nothing in them, to be copied."""
    path = tmp_path_factory.mktemp("blank") / "hoodwright.sqlite"
    database = open_database(f"sqlite:///{path}")
    upgrade(database.engine)
    let_in(database, FixedClock.now)
    database.close()
    return path


@pytest.fixture
def own(tmp_path: Path, blank_shop: Path) -> Iterator[Database]:
    """An embedded database that a test may hurt."""
    folder = tmp_path / "shop"
    folder.mkdir()
    shutil.copy(blank_shop, folder / "hoodwright.sqlite")
    database = open_database(f"sqlite:///{folder / 'hoodwright.sqlite'}")
    yield database
    database.close()


def file_of(database: Database) -> Path:
    return Path(database.engine.url.database or "")


@pytest.fixture
def shop(own: Database) -> Api:
    """The application over it; its server is not started, for no route needs that."""
    return Api(with_key(TestClient(create_app(own, FixedClock()), raise_server_exceptions=False)))


def on_connect(engine: Engine, *statements: str) -> Undo:
    """Say something to each connection from now on; return how to end that."""

    def say(connection: Any, _record: object) -> None:  # noqa: ANN401 - a DBAPI connection
        for statement in statements:
            connection.execute(statement)
        if engine.dialect.name == "postgresql":
            connection.commit()

    event.listen(engine, "connect", say)
    engine.dispose()

    def undo() -> None:
        event.remove(engine, "connect", say)
        engine.dispose()

    return undo


def full(database: Database) -> Undo:
    """Let SQLite itself find that there is no page left; by quota, as on a full disk."""
    with closing(sqlite3.connect(file_of(database))) as connection:
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
    return on_connect(database.engine, f"PRAGMA max_page_count = {pages}")


def held(database: Database) -> Undo:
    """Let another program hold the database for ever."""
    undo = on_connect(database.engine, "PRAGMA busy_timeout = 50")
    other = sqlite3.connect(file_of(database), isolation_level=None)
    other.execute("BEGIN IMMEDIATE")

    def release() -> None:
        other.close()
        undo()

    return release


def read_only(database: Database) -> Undo:
    return on_connect(database.engine, "PRAGMA query_only = ON")


def moved_away(database: Database) -> Undo:
    path = file_of(database)
    away = path.with_name("elsewhere")
    path.rename(away)

    def back() -> None:
        away.rename(path)

    return back


HURTS: dict[str, tuple[Callable[[Database], Undo], int, str, str]] = {
    "full": (full, 507, "disk-full", "Free some room"),
    "held": (held, 503, "busy", "Wait a few seconds"),
    "read-only": (read_only, 503, "read-only", "right to write"),
    "moved": (moved_away, 503, "database-gone", "Put it back"),
}


def fill_up(shop: Api, key: str) -> Any:  # noqa: ANN401 - a response
    """Take orders, large ones, until one is refused: a few pages may be left in the file."""
    answer = None
    for number in range(40):
        answer = shop.take(order_body(notes="x" * 1900), key=f"{key} {number}")
        if not answer.is_success:
            return answer
    pytest.fail("it was never refused")


@pytest.mark.parametrize("hurt", HURTS)
def test_it_says_what_to_do_keeps_nothing_half_and_goes_on_by_itself(
    own: Database, shop: Api, hurt: str
) -> None:
    first = shop.taken()
    how, status, code, advice = HURTS[hurt]
    undo = how(own)
    refused = fill_up(shop, "k")

    problem = assert_problem(refused, status, code)
    assert advice in problem["detail"]
    assert "Nothing was changed" in problem["detail"]
    assert int(refused.headers["Retry-After"]) > 0
    undo()
    listed = shop.numbers(limit=200)
    again = shop.taken(order_body(notes="after"))
    assert again["number"] == f"2026-{len(listed) + 1:04d}"
    assert shop.show(first["number"]) == first
    assert whole(own) == []


def whole(database: Database) -> list[str]:
    """What SQLite finds wrong, and orders without their parts."""
    with closing(sqlite3.connect(file_of(database))) as connection:
        found = [text for (text,) in connection.execute("PRAGMA integrity_check") if text != "ok"]
        found += [str(row) for row in connection.execute("PRAGMA foreign_key_check")]
        found += [
            f"order {number} has no history"
            for (number,) in connection.execute(
                "SELECT number FROM hood_order WHERE id NOT IN (SELECT order_id FROM order_event)"
            )
        ]
    return found


def test_orders_can_be_read_while_the_disk_is_full(own: Database, shop: Api) -> None:
    first = shop.taken()
    undo = full(own)
    fill_up(shop, "k")

    assert shop.show(first["number"]) == first
    undo()


@pytest.mark.parametrize("beside", [True, False])
def test_a_database_file_that_was_deleted_is_written_anew_whole(
    own: Database,
    shop: Api,
    beside: bool,  # noqa: FBT001 - a parameter of a test
) -> None:
    path = file_of(own)
    orders = [shop.taken()]
    for _ in range(2):  # twice: what is held after the first time must be whole too
        orders.append(shop.taken())
        for one in path.parent.iterdir() if beside else [path]:
            one.unlink()
    orders.append(shop.taken())
    assert path.exists()
    assert [shop.show(one["number"]) for one in orders] == orders
    assert whole(own) == []
    own.engine.dispose()
    again = open_database(f"sqlite:///{path}")  # as a start after a kill would
    with again.reading() as session:
        rows = session.connection().exec_driver_sql("SELECT count(*) FROM hood_order").all()
    again.close()
    assert rows == [(4,)]
    assert sorted(p.name for p in path.parent.iterdir() if "part" in p.name) == []


def test_another_file_in_the_place_is_not_written_to_and_the_old_is_kept(
    own: Database, shop: Api, blank_shop: Path
) -> None:
    path = file_of(own)
    orders = [shop.taken(), shop.taken()]
    other = path.with_name("other")
    shutil.copy(blank_shop, other)
    before = other.read_bytes()
    other.replace(path)

    problem = assert_problem(shop.take(), 503, "database-gone")
    assert_problem(shop.client.get("/api/v1/orders"), 503, "database-gone")
    assert "Stop Hoodwright" in problem["detail"]
    (kept,) = path.parent.glob("hoodwright-held-*.sqlite")
    assert str(kept) in problem["detail"]
    assert path.read_bytes() == before
    with closing(sqlite3.connect(kept)) as connection:
        numbers = [n for (n,) in connection.execute("SELECT number FROM hood_order ORDER BY id")]
    assert numbers == [one["number"] for one in orders]
    # What is started next must not play the old log into the new file.
    assert not path.with_name(path.name + "-wal").exists()


def test_a_file_that_is_no_database_any_more_is_said_to_be(own: Database, shop: Api) -> None:
    shop.taken()
    with own.engine.connect() as connection:
        connection.exec_driver_sql("ROLLBACK")
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    own.engine.dispose()
    size = file_of(own).stat().st_size
    with file_of(own).open("r+b") as file:
        file.write(os.urandom(size))

    problem = assert_problem(shop.take(), 503, "database-damaged")
    assert "restore" in problem["detail"]


def test_a_server_that_ends_a_connection_is_asked_anew(
    postgresql_database: Database, postgres_url: str, request: pytest.FixtureRequest
) -> None:
    let_in(postgresql_database, FixedClock.now)
    api = Api(request.getfixturevalue("postgresql_client"))
    order = api.taken()
    server = postgres_url.replace("+psycopg", "")

    def end_all() -> None:
        with psycopg.connect(server, autocommit=True) as connection:
            connection.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                " WHERE application_name = 'hoodwright' AND datname = current_database()"
            )

    end_all()
    assert api.show(order["number"]) == order  # an idle one that was ended is never noticed

    def while_it_writes(*_: object) -> None:
        if not ended:
            ended.append(True)
            end_all()

    ended: list[bool] = []
    event.listen(postgresql_database.engine, "before_cursor_execute", while_it_writes)
    problem = assert_problem(api.take(key="once"), 503, "database-gone")
    event.remove(postgresql_database.engine, "before_cursor_execute", while_it_writes)
    assert "Nothing was changed" in problem["detail"]
    taken = api.take(key="once").json()
    assert api.take(key="once").json()["number"] == taken["number"]


def test_a_server_that_may_only_be_read_says_so(
    postgresql_database: Database, request: pytest.FixtureRequest
) -> None:
    let_in(postgresql_database, FixedClock.now)
    api = Api(request.getfixturevalue("postgresql_client"))
    order = api.taken()
    only = "SET default_transaction_read_only = on"
    undo = on_connect(postgresql_database.engine, only)

    assert_problem(api.take(), 503, "read-only")
    assert api.show(order["number"]) == order
    undo()
    api.taken()


def test_a_row_that_another_program_holds_is_not_waited_for_for_ever(
    postgresql_database: Database, request: pytest.FixtureRequest
) -> None:
    let_in(postgresql_database, FixedClock.now)
    api = Api(request.getfixturevalue("postgresql_client"))
    order = api.taken()
    undo = on_connect(postgresql_database.engine, "SET lock_timeout = '100ms'")
    with postgresql_database.engine.connect() as other:
        other.exec_driver_sql("SELECT id FROM hood_order FOR UPDATE")
        assert_problem(api.move(order, "quoted"), 503, "busy")
    undo()
    assert api.moved(order, "quoted")["state"] == "quoted"


def test_a_server_that_is_not_there_is_said_to_be() -> None:
    database = open_database("postgresql://nobody@127.0.0.1:1/nothing")
    client = with_key(TestClient(create_app(database), raise_server_exceptions=False))

    problem = assert_problem(client.get("/api/v1/orders"), 503, "database-gone")
    assert "database server" in problem["detail"]
    database.close()


def test_every_route_of_the_api_tells_of_these_answers(own: Database) -> None:
    document = create_app(own).openapi()
    told: list[Json] = [one for path in document["paths"].values() for one in path.values()]

    assert told
    assert all({"503", "507"} <= set(one["responses"]) for one in told)


def test_a_clock_put_back_mixes_up_no_number_and_no_history(api: Api, clock: FixedClock) -> None:
    first = api.taken()
    moved = api.moved(first, "quoted")
    clock.now -= timedelta(days=400)
    back = api.taken()
    last = api.moved(moved, "accepted")
    clock.now += timedelta(days=400)
    third = api.taken()

    numbers = [one["number"] for one in (first, back, third)]
    assert numbers == ["2026-0001", "2025-0001", "2026-0002"]
    assert api.numbers() == numbers[::-1]  # by when they were taken, whatever the clock said
    kinds = [event["kind"] for event in last["history"]]
    assert kinds == ["taken", "moved", "moved"]
    assert [event["change"].get("state") for event in last["history"][1:]] == [
        ["enquiry", "quoted"],
        ["quoted", "accepted"],
    ]
