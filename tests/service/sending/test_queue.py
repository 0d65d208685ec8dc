"""On a database server the jobs are procrastinate's, in the transaction of their cause."""

import os
import re
import signal
import subprocess
import sys
from collections import Counter
from collections.abc import Generator, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, Any

import psycopg
import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from psycopg import sql
from sqlalchemy import inspect, text
from sqlmodel import SQLModel

from service.console import main
from service.db import Database, open_database
from service.given import DeliveryState
from service.models import Delivery
from service.schema import upgrade
from service.sending import queue
from service.sending.asking import TASK
from service.sending.outbox import Sending, send
from service.sending.queue import prepare, work
from service.settings import MailSettings
from tests.service.api import FixedClock
from tests.service.conftest import empty
from tests.service.schemas import in_schema
from tests.service.sending.conftest import Shop, to_server
from tests.service.sending.postoffice import HOST, PostOffice
from tests.service.sending.test_worker import ROOT, sent, until


@pytest.fixture
def server(postgresql_database: Database) -> Database:
    """The database server alone, empty."""
    empty(postgresql_database)
    with postgresql_database.writing() as session:
        session.execute(text("DELETE FROM procrastinate_jobs"))
    return postgresql_database


@pytest.fixture
def shop(server: Database, clock: FixedClock) -> Shop:
    return Shop(server, clock)


@pytest.fixture
def fresh(postgres_url: str) -> Iterator[Database]:
    """A schema without procrastinate's tables."""
    with in_schema(postgres_url, "queue_tests") as url:
        database = open_database(url)
        upgrade(database.engine)
        yield database
        database.close()


def jobs(database: Database) -> list[int]:
    """The deliveries for which a job waits."""
    with database.reading() as session:
        found = session.execute(
            text("SELECT args FROM procrastinate_jobs WHERE task_name = :task ORDER BY id"),
            {"task": TASK},
        )
        return [args["delivery"] for (args,) in found]


def tables(database: Database) -> set[str]:
    return {name for name in inspect(database.engine).get_table_names() if "procrast" in name}


def test_its_tables_are_made_once_and_ours_stay_as_the_models_say(fresh: Database) -> None:
    assert tables(fresh) == set()
    prepare(fresh.engine)
    made = tables(fresh)
    prepare(fresh.engine)
    upgrade(fresh.engine)

    assert "procrastinate_jobs" in made
    assert tables(fresh) == made
    with fresh.engine.connect() as connection:
        differing = compare_metadata(MigrationContext.configure(connection), SQLModel.metadata)
    strange = {str(one[1].name) for one in differing if isinstance(one, tuple)}
    assert {name for name in strange if "procrastinate" not in name} == set()


def test_tables_of_an_older_version_are_brought_up_to_date(
    fresh: Database, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    prepare(fresh.engine)
    (tmp_path / "02.00.00_01_pre_old.sql").write_text("SELECT nothing_such();")
    (tmp_path / "98.00.00_01_pre_new.sql").write_text("CREATE TABLE procrastinate_new (id int);")
    (tmp_path / "98.00.00_50_post_new.sql").write_text(
        "SELECT '100%'; DROP TABLE procrastinate_new"
    )
    monkeypatch.setattr(queue, "migrations_path", tmp_path)
    monkeypatch.setattr(queue, "version", lambda _: "98.0.0")
    before = tables(fresh)
    prepare(fresh.engine)
    prepare(fresh.engine)

    assert tables(fresh) == before


def test_nothing_of_it_is_made_in_the_embedded_database(sqlite_database: Database) -> None:
    prepare(sqlite_database.engine)

    assert tables(sqlite_database) == set()


def test_a_job_comes_with_its_delivery_and_goes_with_it(shop: Shop, mail: MailSettings) -> None:
    def break_off() -> None:
        with shop.database.writing() as session:
            send(session, shop.number, Sending("care", "en"), mail, shop.clock())
            raise KeyError

    delivery = shop.send(mail)
    assert jobs(shop.database) == [delivery]
    with pytest.raises(KeyError):
        break_off()
    assert jobs(shop.database) == [delivery]


def work_all(shop: Shop, mail: MailSettings) -> None:
    """Work until nothing is to be done; in a thread, for a worker runs a loop of its own.

    The tests in a browser keep one running in the first thread.
    """
    with ThreadPoolExecutor(1) as pool:
        pool.submit(work, shop.database, mail, shop.clock, wait=False).result()


def test_a_worker_sends_what_its_jobs_say_and_clears_them_away(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    deliveries = [shop.send(mail) for _ in range(3)]
    work_all(shop, mail)

    assert all(sent(shop, one) for one in deliveries)
    assert len(office.envelopes) == 3
    assert jobs(shop.database) == []


def test_a_mail_to_be_tried_again_has_a_job_for_that_moment(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    office.answers = ["451 Later"]
    shop.clock.now = datetime.now(UTC)
    delivery = shop.send(mail)
    shop.deliver(mail, delivery)

    assert jobs(shop.database) == [delivery, delivery]
    with shop.database.reading() as session:
        query = text("SELECT scheduled_at FROM procrastinate_jobs ORDER BY id DESC LIMIT 1")
        at = session.execute(query).scalar_one()
    assert at == shop.row(delivery).next_at


def test_what_has_lost_its_job_is_sent_all_the_same(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    delivery = shop.send(mail)
    with shop.database.writing() as session:
        session.execute(text("DELETE FROM procrastinate_jobs"))
    work_all(shop, mail)

    assert sent(shop, delivery)
    assert len(office.envelopes) == 1


@contextmanager
def command(database: Database, office: PostOffice) -> Generator[subprocess.Popen[str]]:
    """`hoodwright work` in a process of its own."""
    clean = {name: text for name, text in os.environ.items() if not name.startswith("HOODWRIGHT_")}
    own = {
        "PYTHONPATH": str(ROOT),
        "HOODWRIGHT_DATABASE_URL": database.engine.url.render_as_string(hide_password=False),
        "HOODWRIGHT_MAIL_HOST": HOST,
        "HOODWRIGHT_MAIL_PORT": str(office.port),
        "HOODWRIGHT_MAIL_SECURITY": "none",
        "HOODWRIGHT_MAIL_TIMEOUT": "5",
    }
    with subprocess.Popen(
        [sys.executable, "-m", "service.command", "work"],
        env={**clean, **own},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        try:
            yield process
        finally:
            process.kill()


def said(stream: IO[str] | None) -> str:
    assert stream
    return stream.readline()


def test_several_workers_send_each_mail_once_and_end_when_told(
    shop: Shop, office: PostOffice
) -> None:
    mail = to_server(office.port)
    shop.clock.now = datetime.now(UTC)
    with command(shop.database, office) as one, command(shop.database, office) as other:
        for process in (one, other):
            assert said(process.stdout).startswith("Sending what is due")
        deliveries = [shop.send(mail) for _ in range(6)]
        until(lambda: all(sent(shop, delivery) for delivery in deliveries))
        for process in (one, other):
            process.send_signal(signal.SIGTERM)
        ends = [process.communicate(timeout=30) for process in (one, other)]

    assert [one.returncode, other.returncode] == [0, 0], ends
    came = Counter(message["Message-ID"] for message in office.mails)
    assert came == Counter(shop.row(delivery).message_id for delivery in deliveries)


def test_a_killed_worker_loses_nothing_and_repeats_one_mail_at_most(
    shop: Shop, office: PostOffice
) -> None:
    mail = to_server(office.port)
    shop.clock.now = datetime.now(UTC)
    deliveries = [shop.send(mail) for _ in range(2)]
    with command(shop.database, office) as process:

        def kill() -> None:
            os.kill(process.pid, signal.SIGKILL)
            process.wait(10)

        office.on_quit = kill
        until(lambda: process.poll() is not None)
    office.on_quit = None
    struck = [one for one in deliveries if shop.row(one).claimed_until]
    assert len(struck) == 1
    with shop.database.writing() as session:  # as if its claim had run out
        row = session.get_one(Delivery, struck[0])
        row.claimed_until = row.created_at
        session.add(row)
    work_all(shop, mail)

    assert all(shop.row(one).state == DeliveryState.SENT for one in deliveries)
    came = Counter(message["Message-ID"] for message in office.mails)
    ids = Counter(shop.row(one).message_id for one in deliveries)
    assert came == ids + Counter({shop.row(struck[0]).message_id: 1})


def backends(connection: psycopg.Connection[Any], database: str) -> set[int]:
    """The server's processes that work on a database."""
    query = "SELECT pid FROM pg_stat_activity WHERE datname = %s"
    return {pid for (pid,) in connection.execute(query, (database,))}


@contextmanager
def away(database: Database, spared: set[int]) -> Generator[None]:
    """The database as during a restart of its server: who works is put out, nobody comes in.

    Spared are the connections of the tests that hold the schema.
    """
    url = database.engine.url.set(drivername="postgresql")
    name = sql.Identifier(str(url.database))
    elsewhere = url.set(database="template1").render_as_string(hide_password=False)
    allow = sql.SQL("ALTER DATABASE {} ALLOW_CONNECTIONS {}")
    with psycopg.connect(elsewhere, autocommit=True) as connection:
        connection.execute(allow.format(name, sql.SQL("false")))
        for pid in backends(connection, str(url.database)) - spared:
            connection.execute("SELECT pg_terminate_backend(%s)", (pid,))
    try:
        yield
    finally:
        with psycopg.connect(elsewhere, autocommit=True) as connection:
            connection.execute(allow.format(name, sql.SQL("true")))


def pauses_of(process: subprocess.Popen[str]) -> Iterator[int]:
    """Yield the seconds that a worker says it waits, as it says so."""
    while line := said(process.stderr):
        if found := re.search(r"tried again in ([0-9]+) s", line):
            yield int(found[1])


def test_a_worker_waits_for_a_database_server_that_is_away_and_comes_back(
    shop: Shop, office: PostOffice
) -> None:
    mail = to_server(office.port)
    shop.clock.now = datetime.now(UTC)
    url = shop.database.engine.url.set(drivername="postgresql")
    with psycopg.connect(url.render_as_string(hide_password=False)) as connection:
        spared = backends(connection, str(url.database))
    with command(shop.database, office) as process:
        assert said(process.stdout).startswith("Sending what is due")
        before = shop.send(mail)
        until(lambda: sent(shop, before))
        told = pauses_of(process)
        with away(shop.database, spared):
            pauses = [next(told) for _ in range(3)]
        after = shop.send(mail)
        until(lambda: sent(shop, after))
        assert process.poll() is None
        process.send_signal(signal.SIGTERM)
        process.communicate(timeout=30)

    assert pauses == [1, 2, 4]
    assert process.returncode == 0
    assert len(office.mails) == 2


def test_workers_are_for_a_database_server(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["work"]) == 1

    assert "HOODWRIGHT_DATABASE_URL" in capsys.readouterr().err
