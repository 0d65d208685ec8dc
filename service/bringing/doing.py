"""The lines of a file written, in one transaction and in batches, as `executemany` has them."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from typing import Any

from sqlalchemy import insert, update
from sqlmodel import Session, SQLModel, col

from service.bringing.people import BuyerKey, DogKey, buyers_known, dogs_known, keys_known
from service.bringing.spool import Spool
from service.bringing.survey import Ready, no_tick
from service.errands import Tick
from service.errors import StaleError
from service.lookup import word_rows
from service.models import Buyer, Dog, Order, OrderEvent, OrderWord, Outcome, RememberedKey
from service.numbering import next_numbers
from service.outcomes import learn_anew
from service.shop import shop_of


@dataclass(slots=True)
class Done:
    """What was written."""

    orders: int = 0
    buyers: int = 0
    dogs: int = 0


@dataclass(slots=True)
class _Work:
    """One file being written.

    Attributes:
        numbers: the orders' numbers that are left to give out, by year.
        latest: when each dog's numbers were taken, of those that this file has told.
    """

    session: Session
    now: datetime
    numbers: dict[int, Iterator[str]]
    done: Done = field(default_factory=Done)
    latest: dict[DogKey, date] = field(default_factory=dict)

    def _ids(self, kind: type[SQLModel], rows: list[dict[str, Any]]) -> list[int]:
        """Insert rows, many at a time; return their ids in the same order."""
        if not rows:
            return []
        made = insert(kind).returning(kind.id, sort_by_parameter_order=True)  # type: ignore[attr-defined]
        return [int(one) for one in self.session.execute(made, rows).scalars()]

    def _buyers(self, lines: Sequence[Ready]) -> dict[BuyerKey, int]:
        latest = {line.buyer: line.asked.buyer.model_dump() for line in lines}
        known = buyers_known(self.session, latest)
        told = [
            {"b_id": known[key], **{name: text for name, text in row.items() if text}}
            for key, row in latest.items()
            if key in known and (row["phone"] or row["address"])
        ]
        for row in told:
            own = {name: text for name, text in row.items() if name != "b_id"}
            self.session.execute(update(Buyer).where(col(Buyer.id) == row["b_id"]).values(own))
        new = [key for key in latest if key not in known]
        ids = self._ids(Buyer, [latest[key] for key in new])
        self.done.buyers += len(ids)
        return known | dict(zip(new, ids, strict=True))

    def _dogs(self, lines: Sequence[Ready], buyers: dict[BuyerKey, int]) -> dict[DogKey, int]:
        newest: dict[DogKey, tuple[date, Ready]] = {}
        for line in lines:
            if line.asked.dog:
                key = (buyers[line.buyer], line.asked.dog.name)
                taken = line.asked.taken or self.now.date()
                if key not in newest or taken >= newest[key][0]:
                    newest[key] = (taken, line)
        known = dogs_known(self.session, newest)
        for key, dog in known.items():
            taken, line = newest[key]
            # Numbers of long ago do not take the place of those that are kept already.
            if taken >= self.latest.get(key, self.now.date()):
                change = update(Dog).where(col(Dog.id) == dog)
                self.session.execute(change.values(_dog(line)))
        new = [key for key in newest if key not in known]
        rows = [{"buyer_id": key[0], "name": key[1], **_dog(newest[key][1])} for key in new]
        ids = self._ids(Dog, rows)
        self.done.dogs += len(ids)
        self.latest |= {key: newest[key][0] for key in new}
        return known | dict(zip(new, ids, strict=True))

    def _row(self, line: Ready, buyer: int, dog: int) -> dict[str, Any]:
        asked = line.asked
        if line.row is None or asked.order is None:
            raise TypeError(line)
        number = next(self.numbers[_year(line, self.now)])
        at = datetime.combine(asked.taken, time(12), UTC) if asked.taken else self.now
        return {
            **line.row,
            "number": number,
            "buyer_id": buyer,
            "dog_id": dog,
            "state": asked.state.value,
            "buyer_name": asked.buyer.name,
            "dog_name": asked.order.dog.name,
            "breed": asked.order.dog.breed,
            "version": 1,
            "created_at": min(at, self.now),
            "changed_at": min(at, self.now),
        }

    def batch(self, lines: Sequence[Ready]) -> None:
        """Write some lines."""
        buyers = self._buyers(lines)
        dogs = self._dogs(lines, buyers)
        orders = [line for line in lines if line.row is not None]
        rows = []
        for line in orders:
            buyer = buyers[line.buyer]
            name = line.asked.dog.name if line.asked.dog else ""
            rows.append(self._row(line, buyer, dogs[buyer, name]))
        ids = self._ids(Order, rows)
        self._beside(list(zip(ids, rows, orders, strict=True)))
        self.done.orders += len(ids)

    def _beside(self, made: list[tuple[int, dict[str, Any], Ready]]) -> None:
        """Write what hangs on the orders: history, keys, outcomes."""
        events, keys, outcomes, words = [], [], [], []
        for key, row, line in made:
            own = f", your number {line.asked.number}" if line.asked.number else ""
            said = f"Brought in from a file, line {line.asked.place}{own}."
            change = {"said": said, "asked": row["asked"]}
            named = (row["number"], row["buyer_name"], row["dog_name"], row["breed"])
            words += word_rows(key, *named, line.asked.number)
            events.append(
                {
                    "order_id": key,
                    "at": self.now,
                    "kind": "brought in",
                    "note": "",
                    "change": change,
                }
            )
            keys.append(
                {"key": line.key, "fingerprint": line.mark, "order_id": key, "at": self.now}
            )
            if told := line.asked.outcome:
                outcomes.append({
                    "order_id": key,
                    "dog_id": row["dog_id"],
                    "yarn": row["asked"]["yarn"]["name"],
                    "told": told.model_dump(mode="json", exclude_none=True),
                    "said": line.said,
                    "at": row["created_at"],
                })  # fmt: skip
        for kind, rows in (
            (OrderEvent, events),
            (OrderWord, words),
            (RememberedKey, keys),
            (Outcome, outcomes),
        ):
            if rows:
                self.session.execute(insert(kind), rows)


def _dog(line: Ready) -> dict[str, Any]:
    asked = line.asked
    dog, lengths = asked.dog, asked.lengths
    return {
        "details": dog.model_dump(mode="json") if dog else {},
        "measurements": {**lengths, "unit": asked.unit.value} if lengths else {},
    }


def _year(line: Ready, now: datetime) -> int:
    return (line.asked.taken or now.date()).year


def bring_in(
    session: Session, spool: Spool, shop_version: int, now: datetime, tick: Tick = no_tick
) -> Done:
    """Write the lines of a surveyed file; whoever has written some of them before is told.

    Args:
        session: of one transaction for the whole file.
        spool: the lines.
        shop_version: of the settings that they were planned with.
        now: this moment.
        tick: told how many lines are done, of how many.

    Raises:
        StaleError: if something was changed since the file was looked at.
    """
    # The counter's lock first: two files at once would both miss a buyer and remember him twice.
    next_numbers(session, now.year, 0)
    years: Counter[int] = Counter()
    keys: list[str] = []
    count = 0
    for lines in spool:
        years.update(_year(line, now) for line in lines if line.row is not None)
        keys += [line.key for line in lines if line.row is not None]
        count += len(lines)
    if shop_of(session)[1] != shop_version or keys_known(session, keys):
        raise StaleError("Something was changed meanwhile. Look at the file once more.")
    numbers = {year: iter(next_numbers(session, year, many)) for year, many in years.items()}
    work = _Work(session, now, numbers)
    done = 0
    for lines in spool:
        work.batch(lines)
        done += len(lines)
        tick(done, count)
    learn_anew(session)
    session.flush()
    return work.done
