"""The migrations make exactly the tables of the models, on both databases."""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import inspect
from sqlmodel import SQLModel
from starlette.testclient import TestClient

from service.db import Database, open_database
from service.keeping.revisions import known_revisions
from service.schema import REVISIONS, config, upgrade
from service.sending.queue import prepare
from service.settings import MailSettings
from service.web.application import create_app
from tests.entering import known, let_in
from tests.service.api import Api, FixedClock, order_body
from tests.service.old_rows import counted, put_in, rows_until
from tests.service.schemas import in_schema


@pytest.fixture(params=["sqlite", "postgresql"])
def blank(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Database]:
    """A database without a single table."""
    if request.param == "sqlite":
        database = open_database(f"sqlite:///{tmp_path / 'blank.sqlite'}")
        yield database
        database.close()
        return
    with in_schema(request.getfixturevalue("postgres_url"), "migration_tests") as url:
        database = open_database(url)
        yield database
        database.close()


def tables(database: Database) -> set[str]:
    return set(inspect(database.engine).get_table_names()) - {"alembic_version"}


def differences(database: Database) -> list[object]:
    with database.engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        found: list[object] = compare_metadata(context, SQLModel.metadata)
    return found


def downgrade(database: Database, revision: str) -> None:
    settings = config()
    with database.engine.connect() as connection:
        settings.attributes["connection"] = connection
        command.downgrade(settings, revision)
        connection.commit()


def test_an_upgrade_makes_what_the_models_say(blank: Database) -> None:
    upgrade(blank.engine)

    assert tables(blank) == set(SQLModel.metadata.tables)
    assert differences(blank) == []


def test_a_column_that_no_migration_makes_would_be_found(blank: Database) -> None:
    upgrade(blank.engine)
    with blank.engine.begin() as connection:
        connection.exec_driver_sql("ALTER TABLE yarn DROP COLUMN details")

    assert differences(blank) != []


def test_a_second_upgrade_changes_nothing_and_keeps_the_rows(blank: Database) -> None:
    upgrade(blank.engine)
    with blank.engine.begin() as connection:
        connection.exec_driver_sql("INSERT INTO counter (name, value) VALUES ('orders 2026', 7)")
    upgrade(blank.engine)

    with blank.engine.connect() as connection:
        rows = connection.exec_driver_sql("SELECT name, value FROM counter").all()
    assert [tuple(row) for row in rows] == [("orders 2026", 7)]
    assert differences(blank) == []


def test_a_downgrade_leaves_no_table_and_an_upgrade_makes_them_again(blank: Database) -> None:
    upgrade(blank.engine)
    downgrade(blank, "base")
    assert tables(blank) == set()

    upgrade(blank.engine)
    assert differences(blank) == []


def test_the_revisions_are_named_in_the_order_that_the_files_say() -> None:
    script = ScriptDirectory.from_config(config())
    assert [one.revision for one in script.walk_revisions()][::-1] == list(REVISIONS)


def test_a_start_with_the_newest_schema_does_without_alembic(tmp_path: Path) -> None:
    address = f"sqlite:///{tmp_path / 'shop.sqlite'}"
    code = (
        "import sys\nfrom service.db import open_database\nfrom service.schema import upgrade\n"
        f"upgrade(open_database({address!r}).engine)\nprint('alembic' in sys.modules)"
    )
    told = [
        subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)  # noqa: S603 - ours
        for _ in range(2)
    ]
    assert [one.stdout.strip() for one in told] == ["True", "False"]


KNOWN = known_revisions()


@pytest.mark.parametrize("revision", KNOWN)
def test_a_shop_of_each_earlier_revision_is_upgraded_with_all_it_holds(
    blank: Database, revision: str
) -> None:
    upgrade(blank.engine, revision)
    rows = rows_until(KNOWN[: KNOWN.index(revision) + 1])
    with blank.engine.begin() as connection:
        put_in(connection, rows)
    upgrade(blank.engine)
    prepare(blank.engine)

    with blank.engine.connect() as connection:
        assert counted(connection, list(rows)) == {name: len(some) for name, some in rows.items()}
    assert [one for one in differences(blank) if "procrastinate" not in str(one)] == []
    mail = MailSettings(sender="odile@marrowfield.example")
    app = create_app(blank, FixedClock(), mail)
    let_in(blank, FixedClock.now)
    api = Api(known(TestClient(app, raise_server_exceptions=False)))
    assert api.numbers() == ["2026-0002", "2026-0001"]
    assert api.numbers(q="bramble") == ["2026-0002", "2026-0001"]
    first, second = api.show("2026-0001"), api.show("2026-0002")
    assert (first["plan"]["engine"], second["plan"]) == ("1", None)
    assert first["history"][0]["kind"] == "taken"
    assert bool(first["outcome"]) is ("outcome" in rows)
    assert api.client.get("/api/v1/shop").json()["name"] == "Marrowfield Hoods"
    (yarn,) = api.client.get("/api/v1/yarns").json()
    assert yarn["lots"][0]["lot"] == "K 214"
    for path in ("work-ticket.pdf", "care-sheet.pdf", "deliveries", "money"):
        answer = api.client.get(f"/api/v1/orders/2026-0001/{path}")
        assert answer.status_code == 200, (path, answer.text)
    for page in ("/", "/orders", "/orders/2026-0001", "/orders/2026-0002", "/yarns", "/queue"):
        assert api.client.get(page).status_code == 200, page
    assert api.take(order_body(), key="first").json()["number"] == "2026-0001"  # remembered
    assert api.taken()["number"] == "2026-0003"
