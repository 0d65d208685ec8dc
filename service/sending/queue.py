"""Deliveries as jobs of procrastinate, on a PostgreSQL database: any number of workers.

A job is put into the queue by the very transaction that writes the delivery. The delivery's
row stays the truth: a job only says that it is worth a look. So one job too many does no harm,
and what a killed worker leaves behind is found by a look at the rows, each minute.
"""

import asyncio
import logging
import re
from importlib.metadata import version
from pathlib import Path
from time import monotonic
from typing import Final

import psycopg
from procrastinate import App, PsycopgConnector
from procrastinate.exceptions import ConnectorException
from procrastinate.schema import SchemaManager, migrations_path
from sqlalchemy import Connection, Engine
from sqlalchemy.exc import SQLAlchemyError

from service.db import Database
from service.orders import Clock
from service.sending.asking import QUEUE, TASK, driver
from service.sending.deliver import deliver
from service.sending.doormail import tell_all
from service.sending.rows import due
from service.sending.stopping import Stop
from service.settings import MailSettings
from service.troubles import TroubleError

SWEEP: Final = "hoodwright.sweep"
SHORTEST: Final = 0.5
"""Seconds, doubled for the first wait for a database server that is away."""
LONGEST: Final = 60.0
"""Seconds of the longest wait for it; who has worked for longer than that begins anew."""
PATIENCE: Final = 5.0
"""Seconds to wait for a connection of the queue's own, before the server counts as away."""
AWAY: Final = (TroubleError, SQLAlchemyError, ConnectorException, psycopg.Error)
AGAIN: Final = "The outbox cannot be worked on; it is tried again in %d s. (%s)"
_LOCK: Final = 0x686F6F64  # any number that no other lock of this database has
_VERSION: Final = re.compile(r"[0-9]+\.[0-9]+\.[0-9]+")
log = logging.getLogger("hoodwright")


def _number(text: str) -> tuple[int, ...]:
    found = _VERSION.match(text)
    return tuple(map(int, found[0].split("."))) if found else (0, 0, 0)


def _changes_since(known: str) -> list[Path]:
    """Return procrastinate's own changes to its tables after a version, in their order."""
    files = sorted(Path(migrations_path).glob("*.sql"))
    return [file for file in files if _number(file.name) > _number(known)]


def _make_tables(connection: Connection) -> None:
    def run(sql: str) -> None:
        # Past SQLAlchemy and without parameters: the statements hold colons and percent signs.
        driver(connection).execute(sql.encode())

    ours = version("procrastinate")
    there = connection.exec_driver_sql("SELECT to_regclass('procrastinate_jobs')").scalar()
    known = connection.exec_driver_sql(
        "SELECT obj_description(to_regclass('procrastinate_jobs'), 'pg_class')"
    ).scalar()
    if there and known == ours:
        return
    changes = [file.read_text(encoding="utf-8") for file in _changes_since(known or ours)]
    for sql in changes if there else [SchemaManager.get_schema()]:
        run(sql)
    run(f"COMMENT ON TABLE procrastinate_jobs IS '{ours}'")


def prepare(engine: Engine) -> None:
    """Make procrastinate's tables, or bring them to the version at hand; again, nothing."""
    if engine.dialect.name != "postgresql":
        return
    with engine.begin() as connection:
        # Two programs that start at once must not both make them.
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_LOCK})")
        _make_tables(connection)


def app_of(database: Database, mail: MailSettings, clock: Clock, stop: Stop) -> App:
    """Return the application of a worker."""
    url = database.engine.url.set(drivername="postgresql")
    conninfo = url.render_as_string(hide_password=False)
    app = App(connector=PsycopgConnector(conninfo=conninfo, timeout=PATIENCE))

    @app.task(name=TASK, queue=QUEUE)
    def one(delivery: int) -> None:
        deliver(database, mail, delivery, clock)

    @app.periodic(cron="* * * * *")
    @app.task(name=SWEEP, queue=QUEUE, queueing_lock=SWEEP, pass_context=False)
    def sweep(timestamp: int) -> None:
        del timestamp
        send_due(database, mail, clock, stop)

    return app


def send_due(database: Database, mail: MailSettings, clock: Clock, stop: Stop) -> None:
    """Send what is due, until told to stop: a killed worker or a slow clock left it behind."""
    with database.reading() as session:
        waiting = due(session, clock())
    for delivery in waiting:
        if stop.told:
            return
        deliver(database, mail, delivery, clock)
    if not stop.told:
        tell_all(database, mail, clock)


def work(database: Database, mail: MailSettings, clock: Clock, *, wait: bool = True) -> None:
    """Work until told to stop, or until nothing is to be done.

    What was left behind is sent first. A signal ends it after the mail that is just leaving. While
    the database server is away it waits, longer each time, and comes back by itself.
    """
    stop, pause = Stop(), SHORTEST
    with stop.heard():
        while not stop.told:
            began = monotonic()
            try:
                _work_once(database, mail, clock, stop, wait=wait)
            except AWAY as error:
                if not wait:
                    raise
                pause = SHORTEST if monotonic() - began > LONGEST else min(2 * pause, LONGEST)
                # Its first line alone: those after it may quote a row.
                log.error(AGAIN, pause, str(error).partition("\n")[0][:200])  # noqa: TRY400 - a sentence for the maker
                stop.sleep(pause)
            else:
                return


def _work_once(
    database: Database, mail: MailSettings, clock: Clock, stop: Stop, *, wait: bool
) -> None:
    """Work as long as the database server is there."""
    prepare(database.engine)
    app = app_of(database, mail, clock, stop)

    async def run() -> None:
        async with app.open_async():
            # What a job was for is in the delivery and the order's history: it need not stay.
            working = app.run_worker_async(
                queues=[QUEUE], wait=wait, delete_jobs="always", install_signal_handlers=False
            )
            await stop.ends(working)

    send_due(database, mail, clock, stop)
    if not stop.told:
        asyncio.run(run())
