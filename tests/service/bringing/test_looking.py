"""What is said of a file while work on it ends."""

import csv
from collections.abc import Callable, Generator
from contextlib import contextmanager
from datetime import UTC, datetime
from threading import Event
from time import monotonic, sleep
from typing import cast

import pytest
from sqlmodel import Session

from service.bringing.bodies import BroughtState
from service.bringing.errands import Errands
from service.bringing.files import brought, keep_file, look
from service.bringing.sheet import MOST_COLUMNS, MOST_WRITTEN, read_sheet, sample
from service.bringing.survey import Tick
from service.db import Database
from service.errors import UnreadableError

NOW = datetime(2026, 5, 1, 8, 30, tzinfo=UTC)


class Meanwhile:
    """A database in which something happens just after each reading."""

    def __init__(self, database: Database, happens: Callable[[], None]) -> None:
        self._database, self._happens = database, happens

    @contextmanager
    def reading(self) -> Generator[Session]:
        with self._database.reading() as session:
            yield session
        self._happens()


def test_looking_that_ends_while_the_row_is_read_was_not_broken_off(database: Database) -> None:
    file_id, _ = keep_file(database, "orders.csv", sample(), "", NOW)
    errands, may_end = Errands(), Event()

    def looking(tick: Tick) -> None:
        assert may_end.wait(20)
        look(database, file_id, NOW, tick)

    errand = errands.begin(file_id, looking)

    def end() -> None:
        may_end.set()
        until = monotonic() + 20
        while not errand.over:
            assert monotonic() < until
            sleep(0.005)

    # The row was read before there was a report, and the work was over before the answer.
    seen = brought(cast("Database", Meanwhile(database, end)), file_id, errands)
    assert (errand.over, errand.wrong) == (True, "")
    assert (seen.state, seen.wrong, seen.report) == (BroughtState.WORKING, "", None)

    after = brought(database, file_id, errands)
    assert after.state is BroughtState.LOOKED_AT
    assert after.report is not None


def test_looking_that_was_broken_off_is_said_to_be(database: Database) -> None:
    file_id, _ = keep_file(database, "orders.csv", sample(), "", NOW)
    # As after a start: nothing works on it, and nothing was found.
    seen = brought(database, file_id, Errands())
    assert seen.state is BroughtState.FAILED
    assert "broken off" in seen.wrong


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
