"""The whole shop written to a file, row by row, as of one moment."""

import csv
import io
import json
import zipfile
from collections.abc import Iterator
from datetime import datetime
from tempfile import TemporaryFile
from typing import IO, Any, Final, cast

from sqlalchemy import Connection, Table, select, text

from service import VERSION
from service.db import Database
from service.keeping.revisions import known_revisions
from service.takeout.tables import FORMAT, LEFT_OUT, cell_of, plain_value, tables

ABOUT: Final = "about.json"
FOLDER: Final = "tables/"
_BATCH: Final = 500
_READ_ME: Final = """\
This is everything that Hoodwright keeps of your shop, one table in each file.

The files are CSV: UTF-8, comma, the first line names the columns. A text that a spreadsheet would
take for a formula (it begins with = + - @, a tabulator or a line end) has an apostrophe before it;
so has a text that begins with an apostrophe before one of these. Take that one apostrophe off to
have the text as it was. An empty cell is no value; a lone apostrophe is an empty text where there
can be no value too. Moments are in UTC. Papers are in base64.

`hoodwright import FILE` makes the same shop of this file again, in an empty database.
It holds the names and addresses of your buyers: keep it as private as the orders.
"""


def _about(now: datetime, counts: dict[str, int]) -> dict[str, Any]:
    return {
        "what": "Hoodwright, the whole shop",
        "format": FORMAT,
        "version": VERSION,
        "schema": known_revisions()[-1],
        "at": now.isoformat(),
        "rows": counts,
        "left_out": LEFT_OUT,
    }


def _rows(connection: Connection, table: Table) -> Iterator[tuple[Any, ...]]:
    query = select(table).order_by(*table.primary_key.columns)
    streamed = connection.execution_options(yield_per=_BATCH).execute(query)
    for row in streamed:
        yield tuple(row)


def _one_moment(connection: Connection) -> None:
    """Let all that is read be of the same moment, whatever is written meanwhile."""
    if connection.dialect.name == "postgresql":
        connection.execute(text("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY"))


def write_zip(database: Database, now: datetime, to: IO[bytes]) -> dict[str, int]:
    """Write all tables as CSV files into a zip; return their numbers of rows."""
    counts: dict[str, int] = {}
    with (
        database.engine.connect() as connection,
        zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as whole,
    ):
        _one_moment(connection)
        for table in tables():
            columns = list(table.columns)
            with (
                whole.open(f"{FOLDER}{table.name}.csv", "w", force_zip64=True) as raw,
                io.TextIOWrapper(raw, "utf-8-sig", newline="") as out,
            ):
                writer = csv.writer(out, quoting=csv.QUOTE_ALL)
                writer.writerow([column.name for column in columns])
                counts[table.name] = 0
                for row in _rows(connection, table):
                    writer.writerow(map(cell_of, columns, row))
                    counts[table.name] += 1
        whole.writestr(ABOUT, json.dumps(_about(now, counts), indent=1))
        whole.writestr("READ-ME.txt", _READ_ME)
    return counts


def write_json(database: Database, now: datetime, to: IO[bytes]) -> dict[str, int]:
    """Write all tables as one JSON document; return their numbers of rows."""
    counts: dict[str, int] = {}
    with database.engine.connect() as connection:
        _one_moment(connection)
        to.write(b'{"tables": {')
        for place, table in enumerate(tables()):
            columns = list(table.columns)
            to.write(f"{',' if place else ''}\n{json.dumps(table.name)}: [".encode())
            counts[table.name] = 0
            for row in _rows(connection, table):
                one = {c.name: plain_value(c, v) for c, v in zip(columns, row, strict=True)}
                comma = "," if counts[table.name] else ""
                to.write(f"{comma}\n{json.dumps(one, ensure_ascii=False)}".encode())
                counts[table.name] += 1
            to.write(b"]")
        about = json.dumps(_about(now, counts), indent=1)
        to.write(f'\n}},\n"about": {about}}}\n'.encode())
    return counts


WRITERS: Final = {"zip": write_zip, "json": write_json}
MEDIA: Final = {"zip": "application/zip", "json": "application/json"}


def name_of(kind: str, now: datetime) -> str:
    """Return the name of the file that everything is taken out into."""
    return f"hoodwright-{now:%Y-%m-%d}-everything.{kind}"


def taken_out(database: Database, kind: str, now: datetime) -> Iterator[bytes]:
    """Write everything, as a zip of CSV files or as JSON, and return it in pieces."""
    file = cast("IO[bytes]", TemporaryFile())  # noqa: SIM115 - closed once the last piece is read
    try:
        WRITERS[kind](database, now, file)
    except BaseException:
        file.close()
        raise
    file.seek(0)
    return _pieces(file)


def _pieces(file: IO[bytes]) -> Iterator[bytes]:
    with file:
        while piece := file.read(1 << 20):
            yield piece
