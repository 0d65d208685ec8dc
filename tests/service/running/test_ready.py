"""A server says whether it lives and may be asked, and stops without dropping a request."""

import json
import signal
from pathlib import Path
from threading import Thread
from time import monotonic, sleep
from typing import Any
from urllib.error import HTTPError
from urllib.request import Request, urlopen

import pytest
from starlette.testclient import TestClient

from service.db import Database, open_database
from service.keeping.ready import NO_DATABASE, OLD_TABLES, STOPPING, Readiness
from service.keeping.revisions import known_revisions
from service.schema import upgrade
from service.web.application import create_app
from tests.entering import KNOWN
from tests.service.schemas import in_schema
from tests.service.test_command import served

URL = "http://127.0.0.1:{}{}"


def asked(port: int, path: str) -> tuple[int, dict[str, Any]]:
    try:
        one = Request(URL.format(port, path), headers=KNOWN)  # noqa: S310 - our own server
        with urlopen(one, timeout=20) as answer:  # noqa: S310 - as above
            return answer.status, json.load(answer)
    except HTTPError as error:
        return error.code, json.load(error)


def looked(url: str) -> str:
    return Readiness(url).lacks()


@pytest.fixture(params=["sqlite", "postgresql"])
def address(request: pytest.FixtureRequest, tmp_path: Path) -> object:
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'ready.sqlite'}"
        return
    with in_schema(request.getfixturevalue("postgres_url"), "ready_tests") as url:
        yield url


def at(url: str, revision: str) -> None:
    database = open_database(url)
    upgrade(database.engine, revision)
    database.close()


def test_ready_means_tables_of_this_version_or_a_newer_one(address: str) -> None:
    first = looked(address)
    at(address, known_revisions()[-2])
    older = looked(address)
    at(address, "head")
    newest = looked(address)
    database = open_database(address)
    with database.writing() as session:
        session.connection().exec_driver_sql("UPDATE alembic_version SET version_num = 'later'")
    database.close()

    assert first in {OLD_TABLES, NO_DATABASE}
    assert (older, newest, looked(address)) == (OLD_TABLES, "", "")


def test_a_database_that_does_not_answer_is_said_to() -> None:
    assert looked("postgresql+psycopg://nobody@127.0.0.1:9/none") == NO_DATABASE
    assert looked("sqlite:////nowhere/at/all.sqlite") == NO_DATABASE


def test_an_answer_stands_for_a_second(tmp_path: Path) -> None:
    now = [0.0]
    readiness = Readiness(f"sqlite:///{tmp_path / 'late.sqlite'}", lambda: now[0])
    before = readiness.lacks()
    at(f"sqlite:///{tmp_path / 'late.sqlite'}", "head")
    same = readiness.lacks()
    now[0] = 1.0

    assert (before, same, readiness.lacks()) == (NO_DATABASE, NO_DATABASE, "")


def test_both_addresses_answer_anybody(database: Database) -> None:
    client = TestClient(create_app(database))
    lives, ready = client.get("/healthz"), client.get("/readyz")

    assert (lives.status_code, lives.json()) == (200, {"alive": True})
    assert (ready.status_code, ready.json()) == (200, {"ready": True, "lacks": ""})
    assert ready.headers["Cache-Control"] == "no-store"


def test_a_server_drains_then_finishes_what_it_is_answering_and_ends(tmp_path: Path) -> None:
    got: list[int] = []
    with served(tmp_path / "data", "--demo", HOODWRIGHT_DRAIN="60") as (process, port):
        assert asked(port, "/readyz") == (200, {"ready": True, "lacks": ""})
        process.send_signal(signal.SIGTERM)
        sleep(0.5)
        said, (status, orders) = asked(port, "/readyz"), asked(port, "/api/v1/orders")
        number = orders["orders"][0]["number"]

        def fetch() -> None:
            path = f"/api/v1/orders/{number}/work-ticket.pdf"
            one = Request(URL.format(port, path), headers=KNOWN)  # noqa: S310
            with urlopen(one, timeout=60) as answer:  # noqa: S310
                got.append(len(answer.read()))

        asking = Thread(target=fetch)
        asking.start()
        sleep(0.1)
        process.send_signal(signal.SIGTERM)  # a second sign: no more waiting
        begun = monotonic()
        asking.join(60)
        process.communicate(timeout=60)

    assert said == (503, {"ready": False, "lacks": STOPPING})
    assert status == 200
    assert len(got) == 1
    assert got[0] > 10_000
    assert monotonic() - begun < 59


def test_servers_that_start_at_once_make_the_tables_once(postgres_url: str) -> None:
    faults: list[Exception] = []

    def start(url: str) -> None:
        try:
            at(url, "head")
        except Exception as error:  # noqa: BLE001 - whatever a start can die of
            faults.append(error)

    with in_schema(postgres_url, "many_starts") as url:
        starting = [Thread(target=start, args=[url]) for _ in range(4)]
        for one in starting:
            one.start()
        for one in starting:
            one.join(60)
        assert looked(url) == ""

    assert faults == []


def test_a_server_that_may_not_migrate_waits_for_who_does(
    postgres_url: str, tmp_path: Path
) -> None:
    with in_schema(postgres_url, "waits_for_tables") as url:
        at(url, known_revisions()[-2])
        named = {"HOODWRIGHT_DATABASE_URL": url, "HOODWRIGHT_MIGRATE": "no"}
        with served(tmp_path / "data", **named) as (_, port):
            before = asked(port, "/readyz")
            at(url, "head")
            sleep(1.1)
            after = asked(port, "/readyz")

    assert before == (503, {"ready": False, "lacks": OLD_TABLES})
    assert after[0] == 200
