"""Long work beside the requests: kept in the database, done one piece after the other.

Each piece is a row, so that every server of a shop can tell how far it is; the process that does
it knows more, and tells that. A lane is one thread: files wait for files, prints for prints, and
however many are asked for, the pages stay quick.
"""

import logging
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from contextvars import copy_context
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import StrEnum
from secrets import token_hex
from threading import Event, Lock, Thread
from typing import Final, TypeVar

from sqlmodel import Session, col, delete

from service.db import Database
from service.errors import NotAllowedError, ServiceError
from service.models import Errand
from service.orders import Clock

log = logging.getLogger("hoodwright")
Tick = Callable[[int, int], None]
"""Told how much is done, of how much."""
Work = Callable[[Tick], bytes | None]
"""A piece of work; what it returns is kept with its row."""
Made = TypeVar("Made")

WAIT: Final = 1.5
"""Seconds that a request sleeps for its piece of work: most are over by then."""
BEAT: Final = 5.0
"""Seconds between two signs of life that other servers see."""
ALIVE: Final = timedelta(seconds=60)
"""Without a sign of life for so long a piece of work was broken off."""
KEPT: Final = timedelta(days=1)
"""How long a piece is remembered, and what it made: that is people's data."""
PATIENCE: Final = 10.0
"""Seconds in which work ends that is told to stop; it is told between two lines."""
BROKEN: Final = "The work was broken off, and nothing of it was kept. Please begin it again."
_FAULT: Final = "Something went wrong on our side; nothing was changed. Please try again."


class Lane(StrEnum):
    """Work of one kind, of which one piece is done at a time."""

    FILES = "files"
    PRINTS = "prints"
    PAPERS = "papers"
    TAKE_OUT = "take out"


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a piece of work is: done, of how much; what ended it, if that was wrong."""

    done: int
    whole: int
    over: bool
    wrong: str = ""


@dataclass(slots=True)
class _Piece:
    """A piece of work of this process."""

    done: int = 0
    whole: int = 0
    wrong: str = ""
    future: Future[None] = field(default_factory=Future)


def forget_old(session: Session, now: datetime) -> None:
    """Forget the pieces of work that are older than a day, and what they made."""
    session.exec(delete(Errand).where(col(Errand.at) < now - KEPT))


def forget_made(session: Session) -> None:
    """Forget what work has made: there may be somebody in it who is erased."""
    session.exec(delete(Errand).where(col(Errand.made).is_not(None)))


class Errands:
    """The pieces of work of a shop, and the threads of this process that do its own."""

    def __init__(self, database: Database, clock: Clock) -> None:
        """Begin with none; threads begin with the first piece of work."""
        self._database, self._clock = database, clock
        self._me = token_hex(8)
        self._lanes = {
            lane: ThreadPoolExecutor(1, thread_name_prefix=f"errand {lane}") for lane in Lane
        }
        self._lock, self._stopping = Lock(), Event()
        self._pieces: dict[int, _Piece] = {}
        self._heart: Thread | None = None

    def enter(self, session: Session, lane: Lane) -> int:
        """Write a piece of work down, to be begun once that is committed; return its number."""
        now = self._clock()
        forget_old(session, now)
        row = Errand(lane=lane, runner=self._me, at=now, seen_at=now)
        session.add(row)
        session.flush()
        return row.id or 0

    def begin(self, errand_id: int, lane: Lane, work: Work) -> None:
        """Begin a piece of work that was written down, and wait a moment for its end.

        Raises:
            ServiceError: what ended it, where that came at once.
            NotAllowedError: if the program is about to end.
        """
        piece = _Piece()
        with self._lock:
            if self._stopping.is_set():
                raise NotAllowedError(BROKEN)
            self._pieces[errand_id] = piece
            piece.future = self._lanes[lane].submit(self._run, errand_id, piece, work)
            if self._heart is None and not self._database.embedded:
                self._heart = Thread(target=self._beat, name="errands", daemon=True)
                self._heart.start()
        wait([piece.future], WAIT)
        if piece.future.done():
            piece.future.result()

    def alone(self, lane: Lane, work: Callable[[], Made]) -> Made:
        """Do what is somewhat long in its lane while the request sleeps, and return what it made.

        However many ask for it at once, one is worked on.

        Raises:
            NotAllowedError: if the program is about to end.
        """
        with self._lock:
            if self._stopping.is_set():
                raise NotAllowedError(BROKEN)
            # Who is asking is known there too.
            future = self._lanes[lane].submit(copy_context().run, work)
        return future.result()

    def progress(self, session: Session, errand_id: int | None) -> Progress:
        """Return how far a piece of work is; one that nobody does any more was broken off."""
        # First: a piece that ends meanwhile has its end in the row.
        piece = self._pieces.get(errand_id or 0)
        row = session.get(Errand, errand_id, populate_existing=True) if errand_id else None
        if row is None:
            return Progress(0, 0, over=True, wrong=BROKEN)
        if row.over_at:
            return Progress(row.done, row.whole, over=True, wrong=row.wrong)
        if piece:
            over = piece.future.done()
            return Progress(piece.done, piece.whole, over, piece.wrong if over else "")
        if row.runner != self._me and self._left(row):
            return Progress(row.done, row.whole, over=True, wrong=BROKEN)
        return Progress(row.done, row.whole, over=False)

    def _left(self, row: Errand) -> bool:
        """Return whether a piece of another process is one that nobody does any more."""
        # An embedded database has one process: whoever began it is no more.
        return self._database.embedded or row.seen_at < self._clock() - ALIVE

    def stop(self) -> None:
        """Break off what goes on and what waits, and say so."""
        with self._lock:
            self._stopping.set()
            waiting = dict(self._pieces)
        for lane in self._lanes.values():
            lane.shutdown(wait=False, cancel_futures=True)
        wait([one.future for one in waiting.values()], PATIENCE)
        for errand_id, piece in waiting.items():
            if piece.future.cancelled():
                self._end(errand_id, piece, BROKEN)

    def _run(self, errand_id: int, piece: _Piece, work: Work) -> None:
        def tick(done: int, whole: int) -> None:
            if self._stopping.is_set():
                raise NotAllowedError(BROKEN)
            piece.done, piece.whole = done, whole

        try:
            made = work(tick)
        except ServiceError as error:
            self._end(errand_id, piece, str(error))
            raise
        except Exception:  # whoever waits must hear of it
            log.exception("fault")
            self._end(errand_id, piece, _FAULT)
            raise
        self._end(errand_id, piece, "", made)

    def _end(self, errand_id: int, piece: _Piece, wrong: str, made: bytes | None = None) -> None:
        piece.wrong = wrong
        try:
            with self._database.writing() as session:
                row = session.get(Errand, errand_id)
                if row:
                    row.done, row.whole, row.wrong = piece.done, piece.whole, wrong
                    row.made, row.over_at = made, self._clock()
                    session.add(row)
        except ServiceError:  # the database is away: the piece itself goes on telling
            log.exception("The end of a piece of work could not be written down.")
            piece.wrong = wrong or BROKEN
            return
        self._pieces.pop(errand_id, None)

    def _beat(self) -> None:
        while not self._stopping.wait(BEAT):
            going = dict(self._pieces)
            if not going:
                continue
            try:
                with self._database.writing() as session:
                    for errand_id, piece in going.items():
                        row = session.get(Errand, errand_id, with_for_update=True)
                        if row and row.over_at is None:
                            row.done, row.whole = piece.done, piece.whole
                            row.seen_at = self._clock()
                            session.add(row)
            except ServiceError:
                log.exception("A sign of life of a piece of work could not be written down.")
