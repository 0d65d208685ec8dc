"""The promise: laws of the queue, held against a walk through the calendar minute by minute."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from service.promise import Capacity, Promise, Work, promise_for, promises, queue_of

TODAY = date(2027, 3, 1)  # a Monday
minutes = st.integers(1, 900)
days = st.dates(date(2027, 2, 1), date(2027, 8, 1))
weeks = st.tuples(*[st.sampled_from([0, 0, 30, 60, 145, 480])] * 7)
spans = st.lists(
    st.tuples(days, st.integers(0, 20)).map(lambda one: (one[0], one[0] + timedelta(one[1]))),
    max_size=4,
).map(tuple)
capacities = st.builds(Capacity, weeks, spans, st.integers(0, 10))


@st.composite
def works(draw: st.DrawFn, least: int = 0, parcels: str = "") -> list[Work]:
    made = []
    for place in range(draw(st.integers(least, 7))):
        likely = draw(minutes)
        safe = likely + draw(st.integers(0, 400))
        due = draw(st.none() | days)
        begun, parcel = draw(st.booleans()), draw(st.sampled_from(["", *parcels]))
        made.append(Work(f"2027-{place:04d}", likely, safe, due, begun, parcel))
    return made


def walked(total: int, capacity: Capacity) -> date | None:
    """Work minute by minute, day after day, from tomorrow; the plainest way there is."""
    day, left = TODAY, total
    while left:
        day += timedelta(days=1)
        if (day - TODAY).days > 3 * 366:
            return None
        room = (
            0 if any(a <= day <= b for a, b in capacity.off) else capacity.minutes[day.weekday()]
        )
        while room and left:
            room -= 1
            left -= 1
    return day


@given(works(), capacities)
def test_dates_are_those_of_a_walk_through_the_days(made: list[Work], capacity: Capacity) -> None:
    likely = safe = 0
    for one, found in zip(queue_of(made), promises(made, capacity, TODAY), strict=True):
        likely, safe = likely + int(one.likely), safe + int(one.safe)
        for total, day in ((likely, found.likely), (safe, found.safe)):
            done = walked(total, capacity)
            assert day == (done and done + timedelta(capacity.posting))


def _no_earlier(after: date | None, before: date | None) -> bool:
    return after is None or (before is not None and after >= before)


@given(works(), works(least=1), capacities)
def test_more_work_never_makes_a_day_earlier(
    made: list[Work], more: list[Work], capacity: Capacity
) -> None:
    new = replace(more[0], key="new")
    before = {one.key: one for one in promises(made, capacity, TODAY)}
    mine, slips = promise_for(new, made, capacity, TODAY)
    after = {one.key: one for one in promises([*made, new], capacity, TODAY)}

    assert mine == after["new"]
    for key, one in before.items():
        assert _no_earlier(after[key].likely, one.likely)
        assert _no_earlier(after[key].safe, one.safe)
    moved = {key for key, one in before.items() if after[key] != one}
    assert {slip.key for slip in slips} == moved


@given(works(least=1), capacities, st.integers(0, 6), st.integers(1, 300))
def test_more_hours_never_make_a_day_later(
    made: list[Work], capacity: Capacity, weekday: int, extra: int
) -> None:
    mon, tue, wed, thu, fri, sat, sun = (
        one + extra * (day == weekday) for day, one in enumerate(capacity.minutes)
    )
    wider = replace(capacity, minutes=(mon, tue, wed, thu, fri, sat, sun))
    for less, more in zip(
        promises(made, capacity, TODAY), promises(made, wider, TODAY), strict=True
    ):
        assert _no_earlier(less.likely, more.likely)
        assert _no_earlier(less.safe, more.safe)


@given(works(least=1), capacities)
def test_no_hood_is_finished_on_a_day_without_hours(made: list[Work], capacity: Capacity) -> None:
    for one in promises(made, capacity, TODAY):
        for day in (one.likely, one.safe):
            if day is not None:
                finished = day - timedelta(capacity.posting)
                assert finished > TODAY
                assert capacity.on(finished) > 0


@given(works(least=1), capacities)
def test_the_safe_day_is_never_before_the_likely_one(made: list[Work], capacity: Capacity) -> None:
    for one in promises(made, capacity, TODAY):
        assert _no_earlier(one.safe, one.likely)


@given(works(least=2))
def test_what_is_begun_comes_first_and_then_what_is_due_first(made: list[Work]) -> None:
    queue = queue_of(made)
    assert sorted(one.key for one in queue) == sorted(one.key for one in made)
    for one, after in pairwise(queue):
        assert one.begun or not after.begun
        if one.begun == after.begun and after.due:
            assert one.due
            assert one.due <= after.due


def test_no_hours_give_no_date() -> None:
    (one,) = promises([Work("a", 60, 90)], Capacity((0,) * 7), TODAY)
    assert (one.likely, one.safe) == (None, None)


def test_a_due_date_that_cannot_be_kept_is_late_and_one_between_is_near() -> None:
    due = date(2027, 4, 10)
    later, sooner = due + timedelta(1), due - timedelta(1)
    assert Promise("a", later, later, due).late
    assert not Promise("a", later, later, due).near
    assert Promise("a", sooner, later, due).near
    assert Promise("a", None, None, due).late
    assert not Promise("a", None, None, None).late


def test_a_hood_due_before_another_pushes_it_past_its_day_and_says_so() -> None:
    capacity = Capacity((60.0,) * 7)
    others = [Work("first", 120, 120, date(2027, 3, 3)), Work("second", 60, 60, date(2027, 3, 4))]
    mine, slips = promise_for(Work("", 60, 60, date(2027, 3, 3)), others, capacity, TODAY)

    assert mine.likely == date(2027, 3, 4)
    assert mine.late
    (slip,) = slips
    assert (slip.key, slip.before.likely, slip.after.likely) == (
        "second", date(2027, 3, 4), date(2027, 3, 5),
    )  # fmt: skip
    assert slip.breaks


@given(works(least=1), capacities)
def test_trying_an_order_that_is_in_the_queue_changes_nothing(
    made: list[Work], capacity: Capacity
) -> None:
    for one in made:
        mine, slips = promise_for(one, made, capacity, TODAY)
        assert mine in promises(made, capacity, TODAY)
        assert not slips


@given(works(least=1, parcels="ab"), capacities)
def test_each_hood_of_a_parcel_is_promised_for_the_day_of_the_last(
    made: list[Work], capacity: Capacity
) -> None:
    alone = {
        one.key: one for one in promises([replace(w, parcel="") for w in made], capacity, TODAY)
    }
    for one, found in zip(queue_of(made), promises(made, capacity, TODAY), strict=True):
        sent = [w.key for w in made if w.parcel == one.parcel] if one.parcel else [one.key]
        for days in ("likely", "safe"):
            each = [getattr(alone[key], days) for key in sent]
            assert getattr(found, days) == (None if None in each else max(each))


def test_what_comes_along_takes_its_time_and_is_waited_for() -> None:
    capacity = Capacity((60.0,) * 7)
    new, other = Work("a", 60, 60, parcel="1"), Work("b", 120, 120, parcel="1")

    mine, slips = promise_for(new, [], capacity, TODAY, [other])

    assert (mine.key, mine.likely) == ("a", TODAY + timedelta(3))
    assert not slips


def test_a_hood_that_moves_pushes_only_those_it_overtakes() -> None:
    days = Capacity((60.0,) * 7)
    works = [Work(key, 60, 60, date(2027, 4, day)) for key, day in (("a", 1), ("b", 2), ("c", 3))]
    stay, forward, back = (
        replace(works[place], due=date(2027, 4, day)) for place, day in ((1, 2), (2, 1), (0, 9))
    )
    assert promise_for(stay, works, days, TODAY)[1] == ()
    assert [one.key for one in promise_for(forward, works, days, TODAY)[1]] == ["b"]
    assert promise_for(back, works, days, TODAY)[1] == ()
