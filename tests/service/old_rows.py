"""Rows as they were at each revision of the tables, put in with nothing of the models.

`kept/rows.json` was recorded once and is not written anew: by revision, the tables that came with
it and their rows. Only the columns that a revision has are put in.
"""

import json
from base64 import b64decode
from datetime import date, datetime
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Connection, MetaData, Table, inspect, text

RECORDED: Final = Path(__file__).parent / "kept" / "rows.json"
Rows = dict[str, list[dict[str, Any]]]


def _plain(value: object) -> object:
    if not isinstance(value, dict) or len(value) != 1:
        return value
    ((kind, content),) = value.items()
    if kind == "bytes":
        return b64decode(content)
    if kind == "moment":
        return datetime.fromisoformat(content).replace(tzinfo=None)
    return date.fromisoformat(content) if kind == "day" else value


def rows_until(revisions: list[str]) -> Rows:
    """The rows of all tables that some revisions have made, in their order."""
    recorded = json.loads(RECORDED.read_text(encoding="utf-8"))
    return {
        table: rows for revision in revisions for table, rows in recorded.get(revision, {}).items()
    }


def put_in(connection: Connection, rows: Rows) -> None:
    """Insert rows into the tables as they are now; after them numbers go on."""
    for name, some in rows.items():
        table = Table(name, MetaData(), autoload_with=connection)
        known = set(table.columns.keys())
        # What a migration itself has filled in is not put in twice.
        connection.execute(table.delete())
        for row in some:
            values = {column: _plain(value) for column, value in row.items() if column in known}
            connection.execute(table.insert().values(**values))
        if connection.dialect.name == "postgresql" and "id" in known and name != "shop":
            highest = f"(SELECT max(id) FROM {name})"  # noqa: S608 - a name of our own
            place = f"pg_get_serial_sequence('{name}', 'id')"
            connection.execute(
                text(f"SELECT setval({place}, {highest}) WHERE {place} IS NOT NULL")
            )


def counted(connection: Connection, names: list[str]) -> dict[str, int]:
    """How many rows tables have."""
    there = set(inspect(connection).get_table_names())
    query = "SELECT count(*) FROM {}"
    return {
        n: connection.exec_driver_sql(query.format(n)).scalar_one() for n in names if n in there
    }
