"""The faults in short: a few kills under load, and nothing lost; a loss would be seen."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from deploy.hurting import faults
from deploy.hurting.faults import full_disk, under_load
from deploy.hurting.load import Kept
from deploy.hurting.server import Server
from deploy.hurting.verdict import gaps, judged, rows
from deploy.postgres import libpq_url, new_database


@pytest.fixture(params=["sqlite", "postgresql"])
def server(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Server]:
    """A server on each database in turn."""
    if request.param == "sqlite":
        yield Server(tmp_path)
        return
    with new_database(libpq_url(request.getfixturevalue("postgres_url"))) as url:
        yield Server(tmp_path, url)


def test_a_killed_server_keeps_all_that_it_acknowledged(server: Server) -> None:
    row = under_load(server, "kill -9", 3, faults.kill)

    assert row.verdict.sound, row
    assert row.verdict.orders >= 4


def test_a_clock_put_back_loses_doubles_and_mixes_up_nothing(server: Server) -> None:
    row = under_load(server, "clock", 3, faults.PutBack())

    assert row.verdict.sound, row
    years = {number[:4] for (number,) in rows(server, "SELECT number FROM hood_order")}
    assert len(years) == 2  # the clock was wrong indeed


def test_a_gap_in_the_numbers_of_a_year_is_seen() -> None:
    assert gaps(["2026-0001", "2025-0001", "2025-0002"]) == []
    assert len(gaps(["2026-0002", "2025-0001", "2025-0003"])) == 2


def test_a_full_disk_is_said_and_gone_on_from(tmp_path: Path) -> None:
    row = full_disk(tmp_path / "disk", 1, mount=False)

    assert row.verdict.sound, row
    assert row.told == "503 disk-fails"
    assert row.verdict.orders >= 1


def test_what_is_lost_doubled_or_half_is_seen(tmp_path: Path) -> None:
    row_of = Server(tmp_path)
    kept = under_load(row_of, "deleted", 1, faults.delete_file)
    assert kept.verdict.sound, kept
    with closing(sqlite3.connect(row_of.database)) as connection:
        ((key, number),) = connection.execute(
            "SELECT k.key, o.number FROM remembered_key k JOIN hood_order o ON o.id = k.order_id"
            " ORDER BY o.id LIMIT 1"
        ).fetchall()
        assert judged(row_of, Kept({key: number}, {number})).sound
        assert judged(row_of, Kept({"another": number})).lost == 1
        assert judged(row_of, Kept(deliveries={number: 10**6})).lost == 1
        connection.execute("DELETE FROM order_event WHERE kind = 'moved'")
        connection.commit()
        assert judged(row_of, Kept()).half >= 1
        connection.execute("DELETE FROM remembered_key WHERE key = ?", (key,))
        connection.commit()
        assert judged(row_of, Kept()).doubled == 1
