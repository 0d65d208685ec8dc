"""One transaction: committed whole, or nothing of it kept."""

import sqlite3
from threading import Timer
from time import monotonic

import pytest
from sqlalchemy import func, select
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session

from service.db import Database, open_database
from service.models import Counter, Shop, table_of
from tests.service.api import Api
from tests.service.counting import counted


def counters(database: Database) -> list[str]:
    with database.reading() as session:
        return sorted(session.scalars(select(Counter.name)))  # type: ignore[call-overload]


def fail_after_writing(database: Database) -> None:
    def fail() -> None:
        with database.writing() as session:
            session.add(Counter(name="one", value=1))
            session.flush()
            raise LookupError

    with pytest.raises(LookupError):
        fail()


def test_what_is_written_is_kept_when_the_block_ends(database: Database) -> None:
    with database.writing() as session:
        session.add(Counter(name="one", value=1))

    assert counters(database) == ["one"]


def test_an_error_in_the_block_keeps_nothing_and_frees_the_lock(database: Database) -> None:
    fail_after_writing(database)
    assert counters(database) == []

    with database.writing() as session:
        session.add(Counter(name="two", value=2))
    assert counters(database) == ["two"]


def test_nothing_done_while_reading_is_kept(database: Database) -> None:
    with database.reading() as session:
        session.add(Counter(name="one", value=1))
        session.flush()

    assert counters(database) == []


def test_a_question_alone_is_one_statement_and_sees_what_was_kept_last(
    database: Database,
) -> None:
    for number in (1, 2):
        with database.writing() as session:
            session.add(Counter(name=f"one {number}", value=number))
        with counted(database) as sent, database.asking() as connection:
            found = connection.execute(select(func.count()).select_from(table_of(Counter)))
            assert found.scalar() == number
        assert len(sent) == 1


def test_a_connection_that_was_asked_without_a_transaction_has_one_again(
    database: Database,
) -> None:
    with database.asking() as connection:
        connection.execute(select(1))
    fail_after_writing(database)
    assert counters(database) == []


def test_what_is_kept_as_json_comes_back_as_it_was(database: Database) -> None:
    settings = {
        "name": 'Żółw \N{DOG FACE} \u2028 "quoted" \\',
        "numbers": [0.1, 1e-07, 1e16, 5e-324, -0.0, 2**60, 3, 3.0],
        "nothing": None,
        "yes": True,
    }
    with database.writing() as session:
        session.add(Shop(id=1, settings=settings, version=1))
    with database.reading() as session:
        kept = session.get_one(Shop, 1).settings
    assert repr(kept) == repr(settings)


def test_work_that_came_second_is_done_again_and_finds_the_first(database: Database) -> None:
    tries = []

    def work(session: Session) -> int:
        tries.append(session)
        if len(tries) == 1:  # what another transaction has kept in between
            raise IntegrityError("", {}, ValueError())
        counter = Counter(name="one", value=len(tries))
        session.add(counter)
        return counter.value

    assert database.write(work) == 2
    assert counters(database) == ["one"]


def test_the_embedded_database_keeps_its_promises_after_a_power_cut(
    sqlite_database: Database,
) -> None:
    with sqlite_database.engine.connect() as connection:
        settings = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar_one()
            for name in ("journal_mode", "synchronous", "foreign_keys")
        }

    assert settings == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}


def test_a_writer_waits_while_another_process_writes(
    sqlite_database: Database, sqlite_api: Api
) -> None:
    other = sqlite3.connect(
        sqlite_database.engine.url.database or "", isolation_level=None, check_same_thread=False
    )
    other.execute("BEGIN IMMEDIATE")
    release = Timer(0.4, other.execute, args=("ROLLBACK",))
    release.start()
    begun = monotonic()
    response = sqlite_api.take()
    release.join()
    other.close()

    assert response.status_code == 201
    assert monotonic() - begun > 0.3


def test_the_usual_address_of_a_database_server_gets_our_driver() -> None:
    database = open_database("postgresql://nobody@127.0.0.1:1/nothing")

    assert database.engine.dialect.driver == "psycopg"
    database.close()
