"""What was taken out makes the same shop again, whatever it holds; what was changed is refused."""

import csv
import io
import json
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from service.bodies import OrderIn
from service.db import Database, open_database
from service.errors import NotAllowedError, UnreadableError
from service.orders import found, take_order
from service.schema import upgrade
from service.takeout.again import bring_shop
from service.takeout.out import WRITERS
from service.takeout.tables import tables
from tests.service.api import Api, FixedClock, order_body
from tests.service.conftest import empty
from tests.service.schemas import in_schema
from tests.service.takeout.shops import fill

NOW = FixedClock.now
Rows = dict[str, list[tuple[Any, ...]]]


def rows(database: Database) -> Rows:
    with database.engine.connect() as connection:
        return {
            table.name: [tuple(row) for row in connection.execute(
                select(table).order_by(*table.primary_key.columns))]
            for table in tables()
        }  # fmt: skip


def out(database: Database, kind: str, folder: Path) -> Path:
    path = folder / f"all.{kind}"
    with path.open("wb") as file:
        WRITERS[kind](database, NOW, file)
    return path


@pytest.fixture(params=["sqlite", "postgresql"])
def other(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Database]:
    """Another database, empty, on each in turn."""
    if request.param == "sqlite":
        database = open_database(f"sqlite:///{tmp_path / 'other.sqlite'}")
        upgrade(database.engine)
        yield database
        database.close()
        return
    with in_schema(request.getfixturevalue("postgres_url"), "takeout_tests") as url:
        database = open_database(url)
        upgrade(database.engine)
        yield database
        database.close()


@pytest.mark.parametrize("kind", ["zip", "json"])
def test_the_same_shop_comes_out_of_what_was_taken_out(
    database: Database, other: Database, kind: str, tmp_path: Path
) -> None:
    number = fill(database, NOW)
    before = rows(database)
    assert [name for name, kept in before.items() if not kept] == []

    path = out(database, kind, tmp_path)
    with other.writing() as session:
        counts = bring_shop(session, path)

    assert rows(other) == before
    assert counts == {name: len(kept) for name, kept in before.items()}
    with other.writing() as session:  # and it goes on, with numbers that nobody has
        order = found(session, number)
        assert order.plan
        taken = take_order(session, OrderIn.model_validate(order_body()), NOW)
    assert taken.number == "2026-0004"
    again = out(other, kind, tmp_path / "..")
    assert again.stat().st_size > path.stat().st_size
    again.unlink()


def cells(path: Path) -> Iterator[str]:
    with zipfile.ZipFile(path) as whole:
        for name in whole.namelist():
            if name.endswith(".csv"):
                text = whole.read(name).decode("utf-8-sig")
                for row in csv.reader(io.StringIO(text, newline="")):
                    yield from row


def test_no_cell_is_a_formula(sqlite_database: Database, tmp_path: Path) -> None:
    empty(sqlite_database)
    fill(sqlite_database, NOW)
    found_cells = list(cells(out(sqlite_database, "zip", tmp_path)))

    assert "'-12.50" in found_cells
    assert any(cell.startswith("'=cmd|") for cell in found_cells)
    assert not [cell for cell in found_cells if cell[:1] in "=+-@\t\r\n" and cell]


def test_a_shop_that_has_something_is_left_alone(database: Database, tmp_path: Path) -> None:
    fill(database, NOW)
    path, before = out(database, "zip", tmp_path), rows(database)

    with pytest.raises(NotAllowedError, match="something in this shop"), database.writing() as one:
        bring_shop(one, path)
    assert rows(database) == before


def _changed(path: Path, change: Callable[[dict[str, bytes]], None]) -> Path:
    """Write a zip anew with some of its files changed."""
    with zipfile.ZipFile(path) as whole:
        files = {name: whole.read(name) for name in whole.namelist()}
    change(files)
    made = path.with_name("changed.zip")
    with zipfile.ZipFile(made, "w") as whole:
        for name, content in files.items():
            whole.writestr(name, content)
    return made


def _swap(name: str, old: bytes, new: bytes) -> Callable[[dict[str, bytes]], None]:
    def change(files: dict[str, bytes]) -> None:
        assert old in files[name]
        files[name] = files[name].replace(old, new)

    return change


def _without(files: dict[str, bytes]) -> None:
    del files["about.json"]


HARM: list[tuple[str, Callable[[dict[str, bytes]], None], str]] = [
    ("a number", _swap("tables/payment.csv", b'"1","1"', b'"one","1"'), "payment.csv, line 2"),
    ("a day", _swap("tables/payment.csv", b"2026-03-14", b"2026-02-30"), "payment.csv, line 2"),
    ("nobody", _swap("tables/payment.csv", b'"1","1"', b'"1","77"'), "do not go together"),
    ("base64", _swap("tables/paper_copy.csv", b'"JVBERi', b'"%%%'), "paper_copy.csv, line 2"),
    ("a column", _swap("tables/buyer.csv", b'"phone"', b'"is_admin"'), "is_admin"),
    ("no column", _swap("tables/buyer.csv", b'"name",', b""), "lacks its column"),
    ("too long", _swap("tables/payment.csv", b"'-12.50", b"9" * 30), "longer than 20"),
    ("newer", _swap("about.json", b'"schema": "00', b'"schema": "99'), "newer"),
    ("format", _swap("about.json", b'"format": 1', b'"format": 2'), "no shop"),
    ("no about", _without, "no shop"),
    ("not JSON", _swap("tables/dog.csv", b'"{', b'"{{'), "dog.csv, line 2"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "said"), [h[1:] for h in HARM], ids=[h[0] for h in HARM])
def test_what_was_changed_is_refused_with_its_place_and_leaves_nothing(
    sqlite_database: Database,
    other: Database,
    tmp_path: Path,
    change: Callable[[dict[str, bytes]], None],
    said: str,
) -> None:
    empty(sqlite_database)
    fill(sqlite_database, NOW)
    path = _changed(out(sqlite_database, "zip", tmp_path), change)

    with pytest.raises(UnreadableError, match=said), other.writing() as session:
        bring_shop(session, path)
    assert not any(rows(other).values())


@pytest.mark.parametrize(
    "content",
    [b"PK\x03\x04 and no more", b"", b"{}", b"[]", b'{"tables": 1}', b"[" * 100_000, b"\xff\xfe"],
)
def test_what_is_no_shop_is_refused(
    sqlite_database: Database, tmp_path: Path, content: bytes
) -> None:
    path = tmp_path / "file"
    path.write_bytes(content)

    with pytest.raises(UnreadableError, match="no shop"), sqlite_database.writing() as session:
        bring_shop(session, path)


def test_a_path_in_a_zip_leads_nowhere(
    database: Database, other: Database, tmp_path: Path
) -> None:
    fill(database, NOW)
    harmless = rows(database)

    def add(files: dict[str, bytes]) -> None:
        files["../../escaped.csv"] = b"x"
        files["/escaped.csv"] = b"x"
        files["tables/../buyer.csv"] = b"x"
        files["tables/sqlite_master.csv"] = b'"sql"\n"DROP TABLE buyer"\n'

    path = _changed(out(database, "zip", tmp_path), add)
    with other.writing() as session:
        bring_shop(session, path)

    assert rows(other) == harmless
    assert not list(tmp_path.parent.rglob("escaped.csv"))


def test_over_the_wire_everything_goes_out_as_a_file(api: Api) -> None:
    api.taken()
    whole = api.client.get("/api/v1/take-out/everything.zip")
    told = api.client.get("/api/v1/take-out/everything.json")

    assert whole.headers["Content-Disposition"] == (
        'attachment; filename="hoodwright-2026-03-14-everything.zip"'
    )
    assert zipfile.ZipFile(io.BytesIO(whole.content)).testzip() is None
    assert json.loads(told.content)["tables"]["buyer"][0]["name"] == "Ottoline Wrack"
    assert api.client.get("/api/v1/take-out/everything.exe").status_code == 422
