"""Long work beside the requests: one piece at a time, and told by every server how far it is."""

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from threading import Event, Lock, Thread
from time import monotonic, sleep

import pytest
from sqlmodel import select

from service import errands as module
from service.db import Database
from service.errands import ALIVE, BROKEN, KEPT, Errands, Lane, Progress, Tick, Work
from service.errors import NotAllowedError, NotFoundError, StaleError
from service.models import Errand
from tests.service.api import FixedClock

LONGEST = 20.0


class Hands:
    """A clock that is moved by hand."""

    def __init__(self) -> None:
        self.now = FixedClock.now

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Hands:
    return Hands()


@pytest.fixture
def errands(
    database: Database, clock: Hands, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Errands]:
    monkeypatch.setattr(module, "WAIT", 0.01)
    monkeypatch.setattr(module, "BEAT", 0.02)
    found = Errands(database, clock)
    yield found
    found.stop()


def begun(database: Database, errands: Errands, work: Work, lane: Lane = Lane.FILES) -> int:
    with database.writing() as session:
        number = errands.enter(session, lane)
    errands.begin(number, lane, work)
    return number


def seen(database: Database, errands: Errands, number: int) -> Progress:
    with database.reading() as session:
        return errands.progress(session, number)


def until(true: Callable[[], bool]) -> None:
    end = monotonic() + LONGEST
    while not true():
        assert monotonic() < end
        sleep(0.005)


def test_work_of_a_lane_is_done_one_after_the_other_and_lanes_beside_each_other(
    database: Database, errands: Errands
) -> None:
    first_may, order = Event(), []

    def first(_tick: Tick) -> None:
        assert first_may.wait(LONGEST)
        order.append("first")

    one = begun(database, errands, first)
    two = begun(database, errands, lambda _tick: order.append("second"))
    beside = begun(database, errands, lambda _tick: order.append("beside"), Lane.PRINTS)

    until(lambda: seen(database, errands, beside).over)
    assert order == ["beside"]
    assert not seen(database, errands, two).over
    first_may.set()
    until(lambda: seen(database, errands, two).over)
    assert order == ["beside", "first", "second"]
    assert seen(database, errands, one) == Progress(0, 0, over=True)


def test_what_a_piece_of_work_made_is_kept_and_how_far_it_is_told_meanwhile(
    database: Database, errands: Errands
) -> None:
    may_end = Event()

    def work(tick: Tick) -> bytes:
        tick(3, 7)
        assert may_end.wait(LONGEST)
        tick(7, 7)
        return b"made"

    number = begun(database, errands, work)
    until(lambda: seen(database, errands, number).done == 3)
    assert seen(database, errands, number) == Progress(3, 7, over=False)
    may_end.set()
    until(lambda: seen(database, errands, number).over)
    assert seen(database, errands, number) == Progress(7, 7, over=True)
    with database.reading() as session:
        row = session.get(Errand, number)
        assert row is not None
        assert row.made == b"made"


def test_what_went_wrong_at_once_is_raised_and_what_went_wrong_later_is_told(
    database: Database, errands: Errands, monkeypatch: pytest.MonkeyPatch
) -> None:
    may_end = Event()

    def late(_tick: Tick) -> None:
        assert may_end.wait(LONGEST)
        raise StaleError("It was changed meanwhile.")

    def faulty(_tick: Tick) -> None:
        raise RuntimeError("secret")

    number = begun(database, errands, late)
    may_end.set()
    until(lambda: seen(database, errands, number).over)
    assert seen(database, errands, number).wrong == "It was changed meanwhile."

    monkeypatch.setattr(module, "WAIT", LONGEST)

    def early(_tick: Tick) -> None:
        raise NotFoundError("There is none.")

    with pytest.raises(NotFoundError, match="There is none"):
        begun(database, errands, early)
    with pytest.raises(RuntimeError):
        begun(database, errands, faulty)
    with database.reading() as session:
        told = [session.get(Errand, number + more).wrong for more in (1, 2)]  # type: ignore[union-attr]
    assert told[0] == "There is none."
    assert "our side" in told[1]
    assert "secret" not in told[1]


def test_another_server_tells_how_far_it_is_until_its_signs_of_life_end(
    postgresql_database: Database, clock: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "WAIT", 0.01)
    monkeypatch.setattr(module, "BEAT", 0.02)
    database, may_end = postgresql_database, Event()
    works, tells = Errands(database, clock), Errands(database, clock)

    def work(tick: Tick) -> None:
        tick(5, 9)
        assert may_end.wait(LONGEST)

    number = begun(database, works, work)
    until(lambda: seen(database, tells, number).done == 5)
    assert seen(database, tells, number) == Progress(5, 9, over=False)
    # Long work goes on giving signs of life.
    clock.now += 10 * ALIVE
    until(lambda: not seen(database, tells, number).over)
    may_end.set()
    until(lambda: seen(database, tells, number).over)
    assert seen(database, tells, number) == Progress(5, 9, over=True)
    works.stop()

    with database.writing() as session:
        left = works.enter(session, Lane.FILES)  # and its server is killed
    assert not seen(database, tells, left).over
    clock.now += ALIVE + timedelta(seconds=1)
    assert seen(database, tells, left) == Progress(0, 0, over=True, wrong=BROKEN)


def test_what_is_written_down_and_not_begun_yet_was_not_broken_off(
    database: Database, errands: Errands, clock: Hands
) -> None:
    with database.writing() as session:
        number = errands.enter(session, Lane.FILES)
    clock.now += 2 * ALIVE
    assert seen(database, errands, number) == Progress(0, 0, over=False)


def test_an_embedded_database_knows_after_a_start_that_nobody_works_on_it(
    sqlite_database: Database, clock: Hands
) -> None:
    with sqlite_database.writing() as session:
        number = Errands(sqlite_database, clock).enter(session, Lane.FILES)
    assert seen(sqlite_database, Errands(sqlite_database, clock), number) == Progress(
        0, 0, over=True, wrong=BROKEN
    )


def test_a_server_that_is_stopped_breaks_off_what_goes_on_and_what_waits(
    database: Database, errands: Errands
) -> None:
    went_on = []

    def work(tick: Tick) -> None:
        for line in range(1_000_000):
            tick(line, 1_000_000)
            sleep(0.002)
        went_on.append("to the end")

    one = begun(database, errands, work)
    two = begun(database, errands, lambda _tick: went_on.append("the other"))
    until(lambda: seen(database, errands, one).done > 0)
    errands.stop()

    after = Errands(database, FixedClock())
    assert seen(database, after, one).wrong == seen(database, after, two).wrong == BROKEN
    assert seen(database, after, one).over
    assert went_on == []
    with pytest.raises(NotAllowedError, match="broken off"):
        begun(database, errands, lambda _tick: None)
    with pytest.raises(NotAllowedError, match="broken off"):
        errands.alone(Lane.PAPERS, lambda: went_on.append("alone"))
    assert went_on == []


def test_of_many_that_ask_at_once_one_is_worked_on(database: Database, errands: Errands) -> None:
    del database
    going, most = Lock(), []

    def work() -> None:
        assert going.acquire(blocking=False), "two at once"
        sleep(0.01)
        most.append(1)
        going.release()

    asking = [Thread(target=errands.alone, args=(Lane.PAPERS, work)) for _ in range(8)]
    for one in asking:
        one.start()
    for one in asking:
        one.join(LONGEST)
    assert len(most) == 8


def test_a_piece_of_work_is_forgotten_after_a_day(
    database: Database, errands: Errands, clock: Hands
) -> None:
    number = begun(database, errands, lambda _tick: b"with names in it")
    until(lambda: seen(database, errands, number).over)
    clock.now += KEPT + timedelta(minutes=1)
    begun(database, errands, lambda _tick: None)
    with database.reading() as session:
        assert [row.made for row in session.exec(select(Errand))] == [None]
