"""A migration leaves what the servers of the version before still use: they run on meanwhile."""

from typing import Any

import pytest
from sqlalchemy import Engine, inspect

from service.db import open_database
from service.keeping.revisions import known_revisions
from service.schema import upgrade
from tests.service.schemas import in_schema

SINCE = "0012"
"""The last revision from before there was this rule (0012 itself would have broken it)."""
TAKEN_AWAY: dict[str, str] = {}
"""Revisions that take something away, and the version since which nothing uses it."""
Shape = dict[str, dict[str, dict[str, Any]]]


def shape(engine: Engine) -> Shape:
    """Return all columns of all tables, as the database has them."""
    looked = inspect(engine)
    return {
        table: {column["name"]: dict(column) for column in looked.get_columns(table)}
        for table in looked.get_table_names()
    }


def breaks(before: Shape, after: Shape) -> list[str]:
    """Return what of a shape the one after it no longer serves."""
    bad = [f"{table} is gone" for table in before if table not in after]
    for table in before.keys() & after.keys():
        old, new = before[table], after[table]
        bad += [f"{table}.{name} is gone" for name in old if name not in new]
        for name, column in new.items():
            fills = column["nullable"] or column["default"] is not None
            if name not in old and not fills:
                bad.append(f"{table}.{name} is new, and an older server leaves it empty")
            if name in old and str(column["type"]) != str(old[name]["type"]):
                bad.append(f"{table}.{name} has another type")
            if name in old and old[name]["nullable"] and not column["nullable"]:
                bad.append(f"{table}.{name} may no longer be empty")
    return sorted(bad)


def test_each_revision_serves_the_version_before_it(postgres_url: str) -> None:
    known = known_revisions()
    found: dict[str, list[str]] = {}
    with in_schema(postgres_url, "expanding") as url:
        database = open_database(url)
        upgrade(database.engine, SINCE)
        before = shape(database.engine)
        for revision in known[known.index(SINCE) + 1 :]:
            upgrade(database.engine, revision)
            after = shape(database.engine)
            found[revision] = breaks(before, after)
            before = after
        database.close()

    assert {one: bad for one, bad in found.items() if bad and one not in TAKEN_AWAY} == {}
    assert len(before) > 20


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("ALTER TABLE counter DROP COLUMN value", "counter.value is gone"),
        ("ALTER TABLE counter RENAME COLUMN value TO worth", "counter.value is gone"),
        ("DROP TABLE mail_template", "mail_template is gone"),
        ("ALTER TABLE counter ALTER COLUMN value TYPE bigint", "another type"),
        ("ALTER TABLE counter ADD COLUMN more integer NOT NULL", "leaves it empty"),
        ("ALTER TABLE hood_order ALTER COLUMN due SET NOT NULL", "may no longer be empty"),
        ("ALTER TABLE counter ADD COLUMN more integer", ""),
        ("ALTER TABLE counter ADD COLUMN more integer NOT NULL DEFAULT 0", ""),
        ("CREATE TABLE more (id integer)", ""),
    ],
)
def test_what_an_older_server_could_not_bear_is_found(
    postgres_url: str, change: str, said: str
) -> None:
    with in_schema(postgres_url, "expanding") as url:
        database = open_database(url)
        upgrade(database.engine, SINCE)
        before = shape(database.engine)
        with database.engine.begin() as connection:
            connection.exec_driver_sql(change)
        found = breaks(before, shape(database.engine))
        database.close()

    assert bool(found) == bool(said)
    assert said in "".join(found)
