"""What is said of a file while work on it ends."""

import csv
from collections.abc import Iterator
from datetime import UTC, datetime
from threading import Event
from time import monotonic, sleep

import pytest

from service import errands as module
from service.bringing import files
from service.bringing.bodies import BroughtState
from service.bringing.files import MOST_SENT, brought, keep_file, look_again
from service.bringing.sheet import MOST_COLUMNS, MOST_WRITTEN, read_sheet, sample
from service.db import Database
from service.errands import ALIVE, Errands, Tick
from service.errors import UnreadableError

NOW = datetime(2026, 5, 1, 8, 30, tzinfo=UTC)


@pytest.fixture
def errands(database: Database) -> Iterator[Errands]:
    found = Errands(database, lambda: NOW)
    yield found
    found.stop()


def test_a_file_is_looked_at_by_the_time_that_it_is_kept(
    database: Database, errands: Errands
) -> None:
    file_id = keep_file(database, errands, "orders.csv", sample(), "", NOW)
    seen = brought(database, file_id, errands)
    assert seen.state is BroughtState.LOOKED_AT
    assert seen.report is not None


def test_looking_that_takes_longer_is_told_by_every_server_and_ends(
    database: Database, errands: Errands, monkeypatch: pytest.MonkeyPatch
) -> None:
    may_end, look = Event(), files.look

    def slow(database: Database, file_id: int, now: datetime, tick: Tick) -> None:
        assert may_end.wait(20)
        look(database, file_id, now, tick)

    monkeypatch.setattr(files, "look", slow)
    monkeypatch.setattr(module, "WAIT", 0.01)
    file_id = keep_file(database, errands, "orders.csv", sample(), "", NOW)
    assert brought(database, file_id, errands).state is BroughtState.WORKING
    if not database.embedded:
        other = Errands(database, lambda: NOW)
        assert brought(database, file_id, other).state is BroughtState.WORKING
    may_end.set()
    until = monotonic() + 20
    while brought(database, file_id, errands).state is BroughtState.WORKING:
        assert monotonic() < until
        sleep(0.005)
    assert brought(database, file_id, errands).state is BroughtState.LOOKED_AT


def test_looking_that_was_broken_off_is_said_to_be_and_can_be_begun_again(
    database: Database, errands: Errands, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as held:
        held.setattr(errands, "begin", lambda *_: None)  # as if killed just then
        file_id = keep_file(database, errands, "orders.csv", sample(), "", NOW)
    later = NOW + 2 * ALIVE
    after = Errands(database, lambda: later)
    seen = brought(database, file_id, after)
    assert seen.state is BroughtState.FAILED
    assert "broken off" in seen.wrong

    look_again(database, after, file_id, later)
    assert brought(database, file_id, after).state is BroughtState.LOOKED_AT
    after.stop()


def test_a_file_larger_than_a_request_takes_is_refused_with_what_to_do(
    database: Database, errands: Errands
) -> None:
    with pytest.raises(UnreadableError, match="hoodwright import"):
        keep_file(database, errands, "orders.csv", b"x" * (MOST_SENT + 1), "", NOW)


@pytest.mark.parametrize("sign", [",", ";", "\t", ",;"])
def test_a_first_line_of_endless_columns_is_refused_with_what_to_do(sign: str) -> None:
    few = read_sheet(("buyer,dog" + ",x" * (MOST_COLUMNS - 2) + "\nTilda,Pip\n").encode())
    assert len(few.ignored) == MOST_COLUMNS - 2
    with pytest.raises(UnreadableError, match="more than 500 columns"):
        read_sheet((f"buyer{sign[0]}dog" + sign * 100_000 + "\nTilda,Pip\n").encode())


@pytest.mark.parametrize(
    ("limit", "said"), [(131_072, "no CSV file"), (10**9, "The first line must name the columns")]
)
def test_a_cell_that_never_ends_is_refused_as_any_other_fault_of_a_file(
    limit: int, said: str
) -> None:
    before = csv.field_size_limit(limit)  # of the whole process: a take-out that is read sets it
    try:
        with pytest.raises(UnreadableError, match=said):
            read_sheet(("x" * 200_000 + "\nTilda,Pip\n").encode())
    finally:
        csv.field_size_limit(before)


def test_a_file_of_endless_empty_lines_is_refused_with_what_to_do() -> None:
    head, line = "buyer,dog\n", "Tilda,Pip\n"
    few = read_sheet((head + "\n" * (MOST_WRITTEN - 2) + line).encode())
    assert [one.place for one in few.lines] == [MOST_WRITTEN]
    with pytest.raises(UnreadableError, match="300000 lines with the empty ones"):
        read_sheet((head + "\n" * MOST_WRITTEN + line).encode())
