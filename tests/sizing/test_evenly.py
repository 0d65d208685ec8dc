"""Whole numbers spread over whole places, as evenly as they can be."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from sizing.evenly import middles, shares


@given(st.integers(0, 400), st.integers(1, 80))
def test_shares_add_up_and_no_two_differ_by_more_than_one(total: int, parts: int) -> None:
    found = shares(total, parts)

    assert (len(found), sum(found)) == (parts, total)
    assert max(found) - min(found) <= 1


@given(st.integers(0, 400), st.integers(1, 80))
def test_each_share_ends_where_its_part_of_the_whole_ends(total: int, parts: int) -> None:
    found = shares(total, parts)

    for place in range(parts + 1):
        due = Fraction(total * place, parts)
        assert due - 1 < sum(found[:place]) <= due


@given(st.integers(1, 60), st.integers(0, 100))
def test_a_middle_is_the_place_in_which_half_of_its_share_lies(count: int, more: int) -> None:
    places = count + more
    found = middles(count, places)

    assert list(found) == sorted(set(found))
    for number, place in enumerate(found):
        half = (number + Fraction(1, 2)) * Fraction(places, count)
        assert place <= half < place + 1
