"""What a file would do, line by line, without doing it; all that is wrong with it at once."""

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from hashlib import sha256
from typing import Any, Final

from sqlmodel import Session

from service.bodies import YarnIn
from service.bringing.bodies import MOST_SHOWN, Kind, LineOut, ReportOut
from service.bringing.lines import Asked, Known, WrongLineError, asked_of
from service.bringing.people import BuyerKey, buyers_known, dogs_known, in_batches, keys_known
from service.bringing.planned import Planned, Planner
from service.bringing.sheet import Line, Sheet
from service.bringing.spool import Spool
from service.errands import Tick
from service.errors import UnreadableError
from service.shelf import shelf
from service.shop import shop_of

KEY: Final = "\u2193 "
"""Before the keys of lines: no key that comes over the wire can begin so."""


def no_tick(_done: int, _all: int) -> None:
    """Tell nobody."""


@dataclass(frozen=True, slots=True)
class Ready:
    """A line that can be written: what it asks for, and its order's row as far as planned."""

    asked: Asked
    key: str
    mark: str
    row: dict[str, Any] | None = None
    said: dict[str, Any] = field(default_factory=dict)

    @property
    def buyer(self) -> BuyerKey:
        """Return by what the buyer is known."""
        return self.asked.buyer.name, self.asked.buyer.email


@dataclass(slots=True)
class _Seen:
    """What earlier lines of the same file have told."""

    keys: dict[str, int] = field(default_factory=dict)
    buyers: dict[BuyerKey, int] = field(default_factory=dict)
    dogs: set[tuple[BuyerKey, str]] = field(default_factory=set)
    new_buyers: int = 0
    unplanned: int = 0


@dataclass(frozen=True, slots=True)
class Surveyed:
    """What a file would do, and the version of the shop's settings that it was planned with."""

    report: ReportOut
    shop_version: int


def _shelf(session: Session) -> dict[tuple[str, str], YarnIn]:
    """Return the yarns of the shelf by name and lot, and by name alone."""
    found: dict[tuple[str, str], YarnIn] = {}
    for one in shelf(session):
        name = one.yarn.name.casefold()
        found.setdefault((name, ""), one.yarn)
        for lot in one.lots:
            found.setdefault((name, lot.lot), one.yarn.model_copy(update={"lot": lot.lot}))
    return found


def known_for(session: Session, yarn: str) -> tuple[Known, int]:
    """Return what lines may refer to, and the version of the shop's settings.

    Raises:
        UnreadableError: if the yarn for lines that name none is not on the shelf.
    """
    (shop, version), yarns = shop_of(session), _shelf(session)
    usual = yarns.get((yarn.casefold(), "")) if yarn else None
    if yarn and usual is None:
        said = f"There is no yarn “{yarn[:60]}” on your shelf."
        raise UnreadableError(said, {"yarn": said})
    return Known(shop, yarns, usual), version


def _mark(line: Line) -> str:
    return sha256(json.dumps(line.cells, sort_keys=True).encode()).hexdigest()


class _Surveyor:
    """Goes over a file in batches."""

    def __init__(self, session: Session, known: Known, today: date) -> None:
        self._session, self._known, self._today = session, known, today
        self._planner, self.seen = Planner(session, known.shop), _Seen()

    def batch(self, lines: Sequence[Line]) -> Iterator[tuple[LineOut, Ready | None]]:
        """Yield what each line would do, and what is to be written for it."""
        read = [self._read(line) for line in lines]
        good = [(asked, mark, key) for asked, mark, key in read if isinstance(asked, Asked)]
        buyers = buyers_known(self._session, {_who(asked) for asked, _, _ in good})
        pairs = {(buyers[_who(a)], a.dog.name) for a, _, _ in good if a.dog and _who(a) in buyers}
        dogs = dogs_known(self._session, pairs)
        before = keys_known(self._session, [key for asked, _, key in good if asked.order])
        for line, (asked, mark, key) in zip(lines, read, strict=True):
            try:
                if isinstance(asked, WrongLineError):
                    raise asked
                buyer = buyers.get(_who(asked))
                dog = dogs.get((buyer or 0, asked.dog.name)) if asked.dog else None
                yield self._one(Ready(asked, key, mark), buyer, dog, before.get(key))
            except WrongLineError as error:
                who = " · ".join(line.cells[n] for n in ("buyer", "dog") if n in line.cells)[:120]
                told = LineOut(
                    line=line.place, kind=Kind.REFUSED, who=who, does=[], wrong=error.wrong
                )
                yield told, None

    def _read(self, line: Line) -> tuple[Asked | WrongLineError, str, str]:
        mark = _mark(line)
        try:
            asked = asked_of(line, self._known, self._today)
        except WrongLineError as error:
            return error, mark, ""
        return asked, mark, f"{KEY}{asked.number or mark}"

    def _one(
        self, ready: Ready, buyer: int | None, dog: int | None, before: tuple[str, str] | None
    ) -> tuple[LineOut, Ready | None]:
        asked = ready.asked
        who = " · ".join(name for name in (asked.buyer.name, asked.dog and asked.dog.name) if name)
        if asked.order:
            self._refuse_twice(ready, before)
        if asked.order and before:
            does = [f"nothing more: it is order {before[1]} already"]
            return LineOut(line=asked.place, kind=Kind.AGAIN, who=who, does=does, wrong={}), None
        planned = self._planner.planned(asked, dog) if asked.order else None
        does = [*self._people(ready, buyer, dog), *self._order(asked, planned)]
        kind = Kind.ORDER if planned else Kind.DOG if asked.dog else Kind.BUYER
        if planned:
            said = planned.said() if asked.outcome else {}
            row = planned.kept(self._known.shop)
            ready = Ready(asked, ready.key, ready.mark, row, said)
        return LineOut(line=asked.place, kind=kind, who=who, does=does, wrong={}), ready

    def _refuse_twice(self, ready: Ready, before: tuple[str, str] | None) -> None:
        place = self.seen.keys.setdefault(ready.key, ready.asked.place)
        column = "your number" if ready.asked.number else "line"
        if place != ready.asked.place:
            said = (
                f"The number stands in line {place} already."
                if ready.asked.number
                else f"It is the same as line {place}. If these are two hoods, give each a number"
                " of your own in the column “your number”."
            )
            raise WrongLineError({column: said})
        if before and before[0] != ready.mark:
            said = (
                f"This number was brought in before, with other figures, as order {before[1]}."
                " Change it there, or give this line another number."
            )
            raise WrongLineError({column: said})

    def _people(self, ready: Ready, buyer: int | None, dog: int | None) -> Iterator[str]:
        asked, key = ready.asked, ready.buyer
        first = self.seen.buyers.setdefault(key, asked.place)
        if buyer:
            yield "known buyer"
        elif first == asked.place:
            self.seen.new_buyers += 1
            yield "new buyer"
        else:
            yield f"buyer of line {first}"
        if asked.dog:
            name = (key, asked.dog.name)
            known = dog or name in self.seen.dogs
            if not known:
                self.seen.dogs.add(name)
            yield "known dog" if known else "new dog"

    def _order(self, asked: Asked, planned: Planned | None) -> Iterator[str]:
        if planned is None:
            return
        yield f"order taken, {asked.state}"
        if planned.plan:
            yield f"{planned.plan.price.total} {planned.plan.price.currency}"
        else:
            self.seen.unplanned += 1
            yield f"kept without a plan: {planned.stopping()}"


def _who(asked: Asked) -> BuyerKey:
    return asked.buyer.name, asked.buyer.email


def survey(
    session: Session,
    sheet: Sheet,
    yarn: str,
    now: datetime,
    spool: Spool | None = None,
    tick: Tick = no_tick,
) -> Surveyed:
    """Say what a file would do; put what is to be written into a spool, if one is given.

    Args:
        session: for reading.
        sheet: the file.
        yarn: the name of the yarn of lines that name none; empty for none.
        now: this moment.
        spool: takes the lines that can be written.
        tick: told how many lines are done, of how many.

    Raises:
        UnreadableError: if the yarn is not on the shelf.
    """
    known, version = known_for(session, yarn)
    surveyor = _Surveyor(session, known, now.date())
    counts: Counter[Kind] = Counter()
    refused: list[LineOut] = []
    others: list[LineOut] = []
    done = 0
    for lines in in_batches(sheet.lines):
        ready = []
        for told, line in surveyor.batch(lines):
            counts[told.kind] += 1
            shown = refused if told.kind is Kind.REFUSED else others
            if len(shown) < MOST_SHOWN:
                shown.append(told)
            if line:
                ready.append(line)
            done += 1
            tick(done, len(sheet.lines))
        if spool and not refused:
            spool.put(ready)
    lines_told = (refused + others)[:MOST_SHOWN]
    report = ReportOut(
        letters=sheet.letters,
        separator=sheet.separator,
        ignored=list(sheet.ignored),
        counts=dict(counts),
        new_buyers=surveyor.seen.new_buyers,
        new_dogs=len(surveyor.seen.dogs),
        unplanned=surveyor.seen.unplanned,
        lines=lines_told,
        untold=len(sheet.lines) - len(lines_told),
    )
    return Surveyed(report, version)
