"""However the same events arrive, in batches, repeated and reordered, the state is the same."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from service.bench.events import Event, Kind
from service.bench.fold import clock_of, progress

KEYS = tuple(f"p0c1r{row}" for row in range(1, 9))
BEGUN = datetime(2026, 3, 14, 9, 0, tzinfo=UTC)
UIDS = [f"event-{n:03}" for n in range(14)]


@st.composite
def events(draw: st.DrawFn) -> list[Event]:
    """Events of some phones, on two plans, that take each other back."""
    found = []
    for uid in UIDS[: draw(st.integers(0, len(UIDS)))]:
        kind = draw(st.sampled_from([*[Kind.DONE] * 4, *Kind]))
        found.append(
            Event(
                uid=uid,
                kind=kind,
                plan=draw(st.sampled_from(["now", "now", "now", "before"])),
                step=draw(st.sampled_from(KEYS)),
                at=BEGUN + timedelta(seconds=draw(st.integers(0, 4000))),
                undoes=tuple(draw(st.lists(st.sampled_from(UIDS), max_size=3)))
                if kind in {Kind.UNDO, Kind.PLACE}
                else (),
            )
        )
    return found


@dataclass
class Kept:
    """What the server does: an event that is kept is not kept again."""

    rows: dict[str, Event]

    def take(self, batch: list[Event]) -> None:
        for event in batch:
            self.rows.setdefault(event.uid, event)


@given(data=st.data(), known=events())
@settings(max_examples=300, deadline=None)
def test_any_sending_of_the_same_events_gives_the_same_state(
    data: st.DataObject, known: list[Event]
) -> None:
    kept = Kept({})
    extra = data.draw(st.lists(st.sampled_from(known), max_size=10)) if known else []
    left = data.draw(st.permutations([*known, *extra]))
    while left:
        size = data.draw(st.integers(1, 5))
        kept.take(left[:size])
        left = left[size:]

    arrived = list(kept.rows.values())
    assert progress(arrived, "now", KEYS) == progress(known, "now", KEYS)
    one, other = clock_of(arrived, 900), clock_of(known, 900)
    assert (one.spent, one.since, one.timed) == (other.spent, other.since, other.timed)


@given(known=events())
@settings(max_examples=200, deadline=None)
def test_a_step_is_done_where_an_event_says_so_and_none_takes_it_back(known: list[Event]) -> None:
    found = progress(known, "now", KEYS)
    struck = {uid for e in known if e.kind in {Kind.UNDO, Kind.PLACE} for uid in e.undoes}
    for place, key in enumerate(KEYS):
        says = any(
            e.plan == "now" and e.uid not in struck and (
                (e.kind in {Kind.DONE, Kind.MEASURED} and e.step == key)
                or (e.kind is Kind.PLACE and KEYS.index(e.step) > place)
            )
            for e in known
        )  # fmt: skip
        assert (place < found.base or key in found.done) == says
    assert all(key in found.done for key in KEYS[found.base : found.at])
    assert found.at == len(KEYS) or KEYS[found.at] not in found.done


@given(known=events())
@settings(max_examples=200, deadline=None)
def test_the_clock_never_counts_more_than_passed_nor_a_row_twice(known: list[Event]) -> None:
    clock = clock_of(known, 900)
    moments = [event.at for event in known if event.kind is not Kind.UNDO]
    passed = (max(moments) - min(moments)).total_seconds() if moments else 0
    assert 0 <= clock.spent <= passed
    assert sum(one.seconds or 0 for one in clock.timed) <= clock.spent
