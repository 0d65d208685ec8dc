"""Copies: made while the shop is open, tried, put back; refused where something would be lost."""

import sqlite3
import zipfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import timedelta
from pathlib import Path
from threading import Event, Thread

import psycopg
import pytest
from sqlmodel import select

from service.doors import codes, sessions
from service.doors.roles import Purpose
from service.keeping import server
from service.keeping.archive import LIST, read_manifest
from service.keeping.backup import back_up, file_of
from service.keeping.embedded import copy_out
from service.keeping.faults import DamagedError, KeepingError, NewerError, NotEmptyError
from service.keeping.restore import restore
from service.models import Account, Counter, SignIn, SignInCode
from tests.entering import let_in
from tests.service.api import FixedClock
from tests.service.conftest import empty
from tests.service.keeping.shops import NAMES, dogs_in, embedded_url, fill, made

NOW = FixedClock.now


@contextmanager
def busy(url: str) -> Iterator[list[int]]:
    """Write to a shop from another thread as fast as it goes, until the block ends."""
    database, end, written = made(url), Event(), [0]

    def write() -> None:
        while not end.is_set():
            with database.writing() as session:
                session.add(Counter(name=f"n{written[0]}", value=written[0]))
            written[0] += 1

    thread = Thread(target=write)
    thread.start()
    try:
        yield written
    finally:
        end.set()
        thread.join()
        database.close()


def filled(url: str) -> list[str]:
    database = made(url)
    numbers = fill(database)
    database.close()
    return numbers


def run_sql(url: str, statement: str) -> None:
    if url.startswith("sqlite"):
        with closing(sqlite3.connect(file_of(url))) as connection:
            connection.execute(statement)
            connection.commit()
        return
    with psycopg.connect(url) as connection:
        connection.execute(statement)


def test_what_was_copied_comes_back_and_the_old_is_kept(place: str, tmp_path: Path) -> None:
    filled(place)
    copy = tmp_path / "copy.zip"
    made_copy = back_up(place, copy, NOW)
    assert made_copy.manifest.tables["hood_order"].rows == len(NAMES)
    assert made_copy.manifest.tables["delivery"].rows == 1
    run_sql(place, "UPDATE dog SET name = 'Slip'")

    with pytest.raises(NotEmptyError, match="--over"):
        restore(copy, place, NOW)
    assert dogs_in(place) == ["Slip"] * len(NAMES)

    done = restore(copy, place, NOW, over=True)

    assert dogs_in(place) == list(NAMES)
    if place.startswith("sqlite"):
        assert dogs_in(f"sqlite:///{done.old}") == ["Slip"] * len(NAMES)
    else:
        with psycopg.connect(place) as connection:
            schema = done.old.split()[2]
            connection.execute(f"SET search_path = {schema}")
            kept = connection.execute("SELECT DISTINCT name FROM dog").fetchall()
        assert kept == [("Slip",)]


def test_nobody_who_was_signed_out_since_is_in_again(place: str, tmp_path: Path) -> None:
    filled(place)
    database = made(place)
    let_in(database, NOW)
    with database.writing() as session:
        account = session.exec(select(Account)).one()
        codes.new_code(session, Purpose.PASSWORD, NOW, account)
    back_up(place, tmp_path / "copy.zip", NOW)
    with database.writing() as session:
        sessions.end_all(session, account.id or 0)
    database.close()

    restore(tmp_path / "copy.zip", place, NOW, over=True)

    database = made(place)
    with database.reading() as session:
        assert session.exec(select(SignIn)).all() == []
        assert session.exec(select(SignInCode)).all() == []
        assert len(session.exec(select(Account)).all()) == 1
    database.close()
    assert dogs_in(place) == list(NAMES)


def test_an_empty_place_is_filled_and_works_on(place: str, tmp_path: Path) -> None:
    filled(place)
    copy = tmp_path / "copy.zip"
    back_up(place, copy, NOW)
    database = made(place)
    empty(database)
    database.close()

    done = restore(copy, place, NOW)

    assert (done.old == "") is (not place.startswith("sqlite"))  # a file costs nothing
    assert dogs_in(place) == list(NAMES)
    database = made(place)
    assert fill(database, ("Next",)) == [f"2026-{len(NAMES) + 1:04d}"]
    database.close()


def test_a_copy_of_a_busy_shop_is_of_one_moment_and_keeps_nobody_waiting(
    place: str, tmp_path: Path
) -> None:
    filled(place)
    with busy(place) as written:
        while written[0] < 5:
            pass
        before = written[0]
        copied = back_up(place, tmp_path / "copy.zip", NOW)
        after = written[0]

    counters = copied.manifest.tables["counter"].rows - 1  # the orders' own
    assert before <= counters <= after + 1
    assert after > before + 2  # it went on writing meanwhile


def test_a_copy_is_not_written_over(place: str, tmp_path: Path) -> None:
    filled(place)
    copy = tmp_path / "copy.zip"
    copy.write_text("my only copy")

    with pytest.raises(NotEmptyError, match="there already"):
        back_up(place, copy, NOW)
    assert copy.read_text() == "my only copy"


def test_a_copy_into_a_folder_that_cannot_be_leaves_nothing(place: str, tmp_path: Path) -> None:
    filled(place)
    (tmp_path / "file").touch()

    with pytest.raises(KeepingError, match="Choose another place"):
        back_up(place, tmp_path / "file" / "copy.zip", NOW)


@pytest.mark.parametrize("at", [0.1, 0.5, 0.9])
def test_a_copy_that_the_disk_has_changed_is_refused(tmp_path: Path, at: float) -> None:
    url = embedded_url(tmp_path)
    filled(url)
    copy = tmp_path / "copy.zip"
    back_up(url, copy, NOW)
    whole = bytearray(copy.read_bytes())
    whole[int(len(whole) * at)] ^= 0xFF
    copy.write_bytes(whole)

    with pytest.raises(DamagedError, match="Take another copy"):
        restore(copy, url, NOW, over=True)
    assert dogs_in(url) == list(NAMES)


def test_a_copy_that_is_sound_and_lacks_a_row_is_refused(place: str, tmp_path: Path) -> None:
    filled(place)
    first, second = tmp_path / "first.zip", tmp_path / "second.zip"
    back_up(place, first, NOW)
    run_sql(place, "UPDATE buyer SET phone = '1'")
    back_up(place, second, NOW)
    mixed = tmp_path / "mixed.zip"  # the rows of one, and the list of the other
    with (
        zipfile.ZipFile(first) as one,
        zipfile.ZipFile(second) as two,
        zipfile.ZipFile(mixed, "w") as out,
    ):
        out.writestr(LIST, one.read(LIST))
        name = next(name for name in two.namelist() if name != LIST)
        out.writestr(name, two.read(name))

    with pytest.raises(DamagedError, match="buyer"):
        restore(mixed, place, NOW, over=True)
    assert dogs_in(place) == list(NAMES)


def test_what_is_no_copy_is_said_to_be_none(tmp_path: Path) -> None:
    letter = tmp_path / "letter.zip"
    letter.write_text("Dear Sir")

    with pytest.raises(DamagedError, match="no copy of Hoodwright's"):
        restore(letter, embedded_url(tmp_path), NOW)
    with pytest.raises(KeepingError, match="No such file"):
        restore(tmp_path / "none.zip", embedded_url(tmp_path), NOW)


def test_a_shop_in_use_is_not_replaced(place: str, tmp_path: Path) -> None:
    filled(place)
    copy = tmp_path / "copy.zip"
    back_up(place, copy, NOW)
    database = made(place)

    with database.reading() as session:
        session.get(Counter, "orders 2026")
        with pytest.raises(KeepingError, match="Stop Hoodwright"):
            restore(copy, place, NOW, over=True)
    database.close()
    assert dogs_in(place) == list(NAMES)


def test_a_copy_of_a_newer_version_is_refused(place: str, tmp_path: Path) -> None:
    filled(place)
    run_sql(place, "UPDATE alembic_version SET version_num = '9999'")
    copy = tmp_path / "copy.zip"
    back_up(place, copy, NOW)

    with pytest.raises(NewerError, match="at 9999"):
        restore(copy, place, NOW, over=True)
    run_sql(place, "UPDATE alembic_version SET version_num = '0005'")
    assert dogs_in(place) == list(NAMES)


def test_a_copy_of_the_other_kind_is_refused(tmp_path: Path) -> None:
    filled(embedded_url(tmp_path))
    copy = tmp_path / "copy.zip"
    back_up(embedded_url(tmp_path), copy, NOW)

    with pytest.raises(KeepingError, match="HOODWRIGHT_DATABASE_URL"):
        restore(copy, "postgresql://nobody@127.0.0.1:1/none", NOW)


def test_a_damaged_database_is_put_aside_and_replaced(tmp_path: Path) -> None:
    url = embedded_url(tmp_path)
    filled(url)
    copy = tmp_path / "copy.zip"
    back_up(url, copy, NOW)
    file_of(url).write_bytes(b"SQLite format 3\0" + b"\xff" * 9000)

    with pytest.raises(NotEmptyError):
        restore(copy, url, NOW)
    done = restore(copy, url, NOW + timedelta(seconds=1), over=True)

    assert Path(done.old).read_bytes().endswith(b"\xff" * 9000)
    assert dogs_in(url) == list(NAMES)


def test_a_damaged_database_is_not_copied_over_a_good_copy(tmp_path: Path) -> None:
    url = embedded_url(tmp_path)
    filled(url)
    content = bytearray(file_of(url).read_bytes())
    content[4096 * 3 : 4096 * 5] = b"\xff" * 8192
    file_of(url).write_bytes(content)

    with pytest.raises(DamagedError):
        copy_out(file_of(url), tmp_path / "copy")
    with pytest.raises(DamagedError):
        back_up(url, tmp_path / "copy.zip", NOW)
    assert not (tmp_path / "copy.zip").exists()


def test_a_program_that_is_missing_is_named(
    postgres_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))

    with pytest.raises(KeepingError, match=r"pg_dump is missing.*postgresql-client"):
        server.dump(postgres_url, tmp_path / "dump")


def test_the_list_of_a_copy_tells_what_and_when(place: str, tmp_path: Path) -> None:
    filled(place)
    back_up(place, tmp_path / "copy.zip", NOW)
    manifest = read_manifest(tmp_path / "copy.zip")

    assert manifest.made_at == NOW
    assert manifest.schema_at >= "0005"
