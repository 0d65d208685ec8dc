"""What to do next: one line for each thing that waits for the maker, by the promised day."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any, Final

from sqlalchemy import select as columns
from sqlmodel import Session, col

from service.drafts import drafts, named
from service.given import care_given
from service.models import Order
from service.owner.enquiries import unseen
from service.planbodies import Out
from service.promise import Promise
from service.queue import queue, queue_promises
from service.shelfneed import Stand
from service.shelfstand import stands
from service.states import EDITABLE, OPEN, State
from sizing.ballband import NAMES as OF_BALL
from sizing.checks import NAMES, Severity
from sizing.swatches import NAMES as OF_SWATCH


class Kind(StrEnum):
    """What there is to do; on one day in this order."""

    LOOK = "look at an enquiry"
    TAKE = "go on with an order being taken"
    SETTLE = "settle a number"
    ANSWER = "answer a buyer"
    BUY = "buy yarn"
    MAKE = "go on with a hood"
    BEGIN = "begin a hood"
    SEND = "send papers"
    HAND_OVER = "hand over a hood"
    ASK = "ask for an answer"


_CALLED: Final = NAMES | OF_BALL | OF_SWATCH
_PLACES: Final = {kind: place for place, kind in enumerate(Kind)}
_FIRST: Final = frozenset({Kind.LOOK, Kind.TAKE})
"""What has no day, and whose buyer still waits for an answer."""
WAITING: Final = (*OPEN, State.FINISHED)
"""States in which something is left to do."""


class TaskOut(Out):
    """One thing to do: a sentence that begins with a verb, where to do it, and until when.

    `day` is the due date, or else the day that can safely be promised; null where there is none.
    """

    kind: Kind
    text: str
    link: str
    day: date | None
    due: bool
    late: bool
    numbers: list[str]


@dataclass(frozen=True, slots=True)
class _Seen:
    """An order as a task is told from it; `informed` where its buyer has the care sheet.

    `accepted` and `findings` are as they are kept.
    """

    promise: Promise | None
    informed: bool
    number: str
    state: State
    due: date | None
    planned: bool
    dog: str
    buyer: str
    accepted: list[dict[str, Any]]
    findings: list[dict[str, Any]]

    def task(self, kind: Kind, text: str, below: str = "", *, late: bool = False) -> TaskOut:
        safe = self.promise.safe if self.promise else None
        return TaskOut(
            kind=kind,
            text=text,
            link=f"/orders/{self.number}{below}",
            day=self.due or safe,
            due=self.due is not None,
            late=late,
            numbers=[self.number],
        )


def _whose(dog: str) -> str:
    return f"{dog}\u2019s" if dog else "the unnamed dog\u2019s"


def _in_question(seen: _Seen) -> str:
    """Return the first field that is doubted and not accepted, stops first; or nothing."""
    settled = {stop["field"] for stop in seen.accepted}
    open_ones = [one for one in seen.findings if one["field"] not in settled]
    for weight in (Severity.STOP, Severity.QUERY):
        for one in open_ones:
            if one["severity"] == weight:
                return str(one["field"])
    return ""


def _settle(seen: _Seen) -> TaskOut | None:
    field = _in_question(seen)
    if not field:
        return None
    name = _CALLED.get(field, field)
    verb = "Look again at" if seen.planned else "Settle"
    return seen.task(Kind.SETTLE, f"{verb} {_whose(seen.dog)} {name}", f"#{field}")


def _next(seen: _Seen) -> TaskOut:
    """Return the step that an order waits for."""
    state, hood = seen.state, f"{_whose(seen.dog)} hood"
    late = seen.promise is not None and seen.promise.late
    if state is State.ENQUIRY:
        return seen.task(Kind.ANSWER, f"Send {seen.buyer} the price of {hood}")
    if state is State.QUOTED:
        return seen.task(Kind.ASK, f"Ask {seen.buyer} for an answer on {hood}")
    if state is State.ACCEPTED:
        return seen.task(Kind.BEGIN, f"Begin {hood}", late=late)
    if state is State.MAKING:
        return seen.task(Kind.MAKE, f"Go on with {hood}", late=late)
    if not seen.informed:
        return seen.task(Kind.SEND, f"Send the papers of {hood}", "/papers")
    return seen.task(Kind.HAND_OVER, f"Hand over {hood}")


def _of_order(seen: _Seen) -> Iterator[TaskOut]:
    """Yield what an order waits for; a number that stops it comes before every other step."""
    if seen.state in EDITABLE and (task := _settle(seen)):
        yield task
        if not seen.planned or seen.state is State.ENQUIRY:
            return
    yield _next(seen)


def _to_buy(stand: Stand) -> TaskOut:
    days = [need.due for need in stand.needs if need.due]
    dogs = ", ".join(dict.fromkeys(need.dog or "an unnamed dog" for need in stand.needs))
    lot = f", lot {stand.lot}" if stand.lot else ""
    colour = f", {stand.colour}" if stand.colour else ""
    balls = f"{stand.buy} ball{'s' if stand.buy > 1 else ''}"
    return TaskOut(
        kind=Kind.BUY,
        text=f"Buy {balls} of {stand.yarn}{colour}{lot}, for {dogs}",
        link="/yarns/shopping",
        day=min(days, default=None),
        due=bool(days),
        late=False,
        numbers=[need.number for need in stand.needs],
    )


def _to_look(session: Session) -> Iterator[TaskOut]:
    count = len(unseen(session))
    if count:
        many = "an enquiry" if count == 1 else f"{count} enquiries"
        yield TaskOut(
            kind=Kind.LOOK, text=f"Look at {many} from strangers", link="/enquiries",
            day=None, due=False, late=False, numbers=[],
        )  # fmt: skip


def _to_take(session: Session) -> Iterator[TaskOut]:
    for one in drafts(session):
        name = named(one)
        whose = f" for {name}" if name else ""
        yield TaskOut(
            kind=Kind.TAKE, text=f"Go on with the order{whose}",
            link=f"/orders/new?draft={one.id}", day=None, due=False, late=False, numbers=[],
        )  # fmt: skip


def _rank(task: TaskOut) -> tuple[bool, date, int]:
    """What comes first: an enquiry has no day, and its buyer still waits for an answer soonest."""
    last = task.day is None and task.kind not in _FIRST
    day = task.day or (date.max if last else date.min)
    return last, day, _PLACES[task.kind]


# Of each order only what its line shows is read: whole, a full book takes half a second.
_KEPT: Any = col(Order.asked)
_WAITING: Final = columns(
    col(Order.id), col(Order.number), col(Order.state), col(Order.due), col(Order.planned),
    col(Order.dog_name), col(Order.buyer_name), _KEPT["accepted"], col(Order.findings),
).where(col(Order.state).in_(WAITING)).order_by(col(Order.id))  # fmt: skip


def _seen(row: Sequence[Any], promised: dict[str, Promise], informed: frozenset[int]) -> _Seen:
    key, number, state, *rest = row
    return _Seen(promised.get(number), key in informed, number, State(state), *rest)


def _of_orders(session: Session, day: date) -> Iterator[TaskOut]:
    promised = queue_promises(queue(session), day)
    rows = session.execute(_WAITING).all()
    informed = care_given(session, [row.id for row in rows if row.state == State.FINISHED])
    for row in rows:
        yield from _of_order(_seen(row, promised, informed))


def today(session: Session, day: date) -> list[TaskOut]:
    """Return what to do, the most pressing first."""
    tasks = [*_to_look(session), *_to_take(session), *_of_orders(session, day)]
    tasks += [_to_buy(stand) for stand in stands(session) if stand.buy]
    return sorted(tasks, key=_rank)
