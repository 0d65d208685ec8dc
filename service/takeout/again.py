"""The same shop again, out of what was taken out of one: into an empty database, or not at all."""

import csv
import io
import json
import zipfile
import zlib
from collections.abc import Callable, Generator, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any, Final

from sqlalchemy import Column, Table, func, insert, select, text
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session

from service.errors import NotAllowedError, UnreadableError
from service.keeping.revisions import known_revisions
from service.takeout.out import ABOUT, FOLDER
from service.takeout.tables import FORMAT, CellError, tables, value_of, value_of_cell

MOST_BYTES: Final = 4_000_000_000
"""Of a zip, unpacked: a small file must not fill a disk."""
_BATCH: Final = 500
_CELL: Final = 200_000_000
Rows = Iterator[dict[str, Any]]
NO_SHOP: Final = "This is no shop that was taken out of Hoodwright. Choose a file of “Take out”."


def is_whole_shop(begin: bytes) -> bool:
    """Return whether a file may be a whole shop, from how it begins."""
    return begin.startswith((b"PK\x03\x04", b'{"tables"'))


def _check(about: object) -> None:
    """Refuse what another version has written in a way that this one would misread.

    Raises:
        UnreadableError: saying what to do.
    """
    if not isinstance(about, dict) or about.get("format") != FORMAT:
        raise UnreadableError(NO_SHOP)
    schema, known = str(about.get("schema"))[:40], known_revisions()
    if schema not in known:
        said = (
            f"The shop was taken out of a newer Hoodwright ({str(about.get('version'))[:20]})."
            " Bring it in there."
        )
        raise UnreadableError(said)


def is_empty(session: Session) -> bool:
    """Return whether there is not one row in any table of the shop."""
    counts = (session.execute(select(func.count()).select_from(t)).scalar_one() for t in tables())
    return not any(counts)


def _missing(table: Table, given: set[str]) -> None:
    unknown = given - {column.name for column in table.columns}
    if unknown:
        said = f"“{table.name}” has no column “{min(unknown)[:60]}”."
        raise UnreadableError(said)
    for column in table.columns:
        fills = column.nullable or column.default or column.server_default
        if column.name not in given and not fills:
            raise UnreadableError(f"“{table.name}” lacks its column “{column.name}”.")


def _put(session: Session, table: Table, rows: Rows) -> int:
    """Insert rows, many at a time."""
    count, batch = 0, list[dict[str, Any]]()
    try:
        for row in rows:
            batch.append(row)
            if len(batch) == _BATCH:
                session.execute(insert(table), batch)
                count, batch = count + len(batch), []
        if batch:
            session.execute(insert(table), batch)
    except IntegrityError as error:
        said = (
            f"The rows of “{table.name}” do not go together with one another or with the tables"
            " that they refer to. The file was changed, or is not whole."
        )
        raise UnreadableError(said) from error
    return count + len(batch)


@contextmanager
def _told_at(place: str) -> Generator[None]:
    """Tell where a value stands that its column cannot hold."""
    try:
        yield
    except CellError as error:
        raise UnreadableError(f"{place}: {error}.", {place: str(error)}) from error


def _of_csv(table: Table, raw: IO[bytes]) -> Rows:
    name = f"{table.name}.csv"
    with io.TextIOWrapper(raw, "utf-8-sig", newline="") as lines:
        reader = csv.reader(lines, strict=True)
        columns: list[Column[Any]] = []
        for cells in reader:
            place = f"{name}, line {reader.line_num}"
            if not columns:
                _missing(table, set(cells))
                columns = [table.columns[cell] for cell in cells]
                continue
            if len(cells) != len(columns):
                raise UnreadableError(f"{place}: {len(cells)} cells for {len(columns)} columns.")
            pairs = zip(columns, cells, strict=True)
            with _told_at(place):
                row = {column.name: value_of_cell(column, cell) for column, cell in pairs}
            yield row


def _of_json(table: Table, rows: object) -> Rows:
    if not isinstance(rows, list):
        raise UnreadableError(NO_SHOP)
    for count, row in enumerate(rows, 1):
        place = f"{table.name}, row {count}"
        if not isinstance(row, dict):
            raise UnreadableError(f"{place} is no row.")
        _missing(table, set(row))
        with _told_at(place):
            values = {name: value_of(table.columns[name], plain) for name, plain in row.items()}
        yield values


def _all_in(session: Session, rows_of: Callable[[Table], Rows | None]) -> dict[str, int]:
    """Put all tables in.

    Raises:
        NotAllowedError: if the database is not empty.
    """
    if not is_empty(session):
        said = (
            "There is something in this shop already. A whole shop can only be brought into an"
            " empty one. Nothing was changed."
        )
        raise NotAllowedError(said)
    counts = {}
    for table in tables():
        rows = rows_of(table)
        counts[table.name] = _put(session, table, rows) if rows else 0
    _count_on(session)
    return counts


def _count_on(session: Session) -> None:
    """Let a server go on with numbers that no row has."""
    if session.get_bind().dialect.name != "postgresql":
        return
    for table in tables():
        key = table.autoincrement_column
        if key is not None:
            name = f"pg_get_serial_sequence('{table.name}', '{key.name}')"
            most = select(func.coalesce(func.max(key), 0)).scalar_subquery()
            session.execute(select(func.setval(text(name), most + 1, False)))  # noqa: FBT003 - the server's own function


def from_zip(session: Session, file: IO[bytes]) -> dict[str, int]:
    """Bring a shop in out of a zip of CSV files; return the numbers of rows.

    Nothing is unpacked to the disk, and no name in it is used but those that we know.

    Raises:
        UnreadableError: if the file is no such zip, saying where it is wrong.
        NotAllowedError: if the database is not empty.
    """
    csv.field_size_limit(_CELL)
    try:
        with zipfile.ZipFile(file) as whole:
            if sum(one.file_size for one in whole.infolist()) > MOST_BYTES:
                raise UnreadableError("The file unpacks to more than 4 GB. It was left alone.")
            names = set(whole.namelist())
            _check(json.loads(whole.read(ABOUT)))

            def rows_of(table: Table) -> Rows | None:
                name = f"{FOLDER}{table.name}.csv"
                return _of_csv(table, whole.open(name)) if name in names else None

            return _all_in(session, rows_of)
    except (zipfile.BadZipFile, zlib.error, KeyError, EOFError, RuntimeError, csv.Error) as error:
        raise UnreadableError(NO_SHOP) from error
    except (UnicodeDecodeError, json.JSONDecodeError, NotImplementedError) as error:
        raise UnreadableError(NO_SHOP) from error


def from_json(session: Session, file: IO[bytes]) -> dict[str, int]:
    """Bring a shop in out of a JSON document; return the numbers of rows.

    Raises:
        UnreadableError: if the file is no such document, saying where it is wrong.
        NotAllowedError: if the database is not empty.
    """
    try:
        whole = json.load(file)
    except (ValueError, RecursionError) as error:
        raise UnreadableError(NO_SHOP) from error
    if not isinstance(whole, dict) or not isinstance(whole.get("tables"), Mapping):
        raise UnreadableError(NO_SHOP)
    _check(whole.get("about"))
    found = whole["tables"]
    return _all_in(session, lambda table: _of_json(table, found.get(table.name, [])))


def bring_shop(session: Session, path: Path) -> dict[str, int]:
    """Bring a shop in out of a file of either form; return the numbers of rows.

    Raises:
        UnreadableError, NotAllowedError: as `from_zip` and `from_json`.
    """
    with path.open("rb") as file:
        begin = file.read(16)
        file.seek(0)
        if begin.startswith(b"PK"):
            return from_zip(session, file)
        return from_json(session, file)
