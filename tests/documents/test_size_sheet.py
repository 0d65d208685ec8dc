"""The sheet of stock sizes: each size whole, in both units, with its dogs and its yarn."""

import re
from datetime import date
from fractions import Fraction

import pytest

from documents import size_sheet
from documents.page import Paper
from documents.size_view import size_view
from sizing.errors import ValueOutOfRangeError
from sizing.sizes import SizeTable, Span
from sizing.units import LengthUnit, show_length
from tests.documents.more_samples import KILOS, need_of, sized, sizes, stock
from tests.documents.samples import hostile, medium, words_of

JOB = medium()[0]


def sections() -> list[str]:
    """The text of each size, as it is read back."""
    return re.split(r"Size \d+ ", words_of(sizes(medium())))[1:]


@pytest.mark.parametrize("paper", list(Paper))
def test_every_size_is_there_in_order(paper: Paper) -> None:
    numbers = re.findall(r"Size (\d+) ", words_of(sizes(medium(), paper)))

    assert numbers == [str(size.number) for size in stock().sizes]
    assert len(numbers) > 3


def test_each_size_tells_its_dimensions_in_both_units() -> None:
    for size, text in zip(stock().sizes, sections(), strict=True):
        made = size.finished
        for mm in (made.collar_girth, made.nape, made.face_opening, made.collar_height):
            for unit in LengthUnit:
                assert show_length(mm, unit) in text


def between(text: str, unit: str) -> list[tuple[float, float]]:
    """The spans of a text in a unit, as numbers."""

    def number(written: str) -> float:
        return sum(
            int(part.split("/")[0]) / int(part.split("/")[1]) if "/" in part else float(part)
            for part in written.split()
        )

    span = r"((?:\d+ )?\d+(?:[./]\d+)?) to ((?:\d+ )?\d+(?:[./]\d+)?) "
    return [(number(low), number(high)) for low, high in re.findall(span + unit, text)]


def test_the_spans_in_both_units_lie_within_the_true_ones() -> None:
    """A span is rounded inwards: no dog that does not fit reads that it does."""
    for size, text in zip(stock().sizes, sections(), strict=True):
        true = (size.neck_girth, size.nape_length, size.face_girth)
        for unit, mm in (("cm", 10.0), ("in", 25.4)):
            shown = between(text, unit)
            assert len(shown) == 3
            for (low, high), span in zip(shown, true, strict=True):
                assert_within(low * mm, high * mm, span, mm)


def assert_within(low: float, high: float, span: Span, step: float) -> None:
    slack = 0.26  # a span narrower than a step is shown to half a millimetre
    assert span.low - slack <= low <= span.low + step
    assert span.high - step <= high <= span.high + slack


def test_each_size_names_the_dogs_that_it_fits_and_no_other() -> None:
    for size, text in zip(stock().sizes, sections(), strict=True):
        fits = re.findall(r"Mokka, ([\d.]+) kg", text)
        assert [float(kilos) for kilos in fits] == [KILOS[place] for place in size.fits]


def test_each_size_tells_over_how_large_a_head_it_goes() -> None:
    for size, text in zip(stock().sizes, sections(), strict=True):
        found = re.search(r"Goes over a head of up to ([\d.]+) cm, ([\d /]+) in;", text)
        assert found
        most = size.finished.collar_girth * 1.6
        whole, _, part = found[2].partition(" ")
        assert float(found[1]) * 10 == pytest.approx(most, abs=0.26)
        inches = float(whole) + float(Fraction(part or 0))
        assert inches * 25.4 == pytest.approx(most, abs=1.6)


def test_each_size_tells_its_yarn_in_metres_and_yards() -> None:
    for size, text in zip(stock().sizes, sections(), strict=True):
        need = need_of(size, JOB.yarn)
        found = re.search(r"Yarn: (\d+) m \((\d+) to (\d+)\), (\d+) yd; (\d+) balls? to buy", text)
        assert found
        metres, low, high, yards, balls = map(int, found.groups())
        assert metres == round(need.metres.likely)
        assert (low, high) == (round(need.metres.low), round(need.metres.high))
        assert abs(yards * 0.9144 - need.metres.likely) < 0.5  # the yard, exact since 1959
        assert balls == need.balls_to_buy
        assert f"Collar {size.rows.collar_stitches} sts, {size.rows.collar_rows} rows" in text


def test_the_dogs_without_a_size_and_the_caution_stand_there() -> None:
    table = SizeTable(stock().sizes[:1], (0, 6))
    needs = [need_of(table.sizes[0], JOB.yarn)]
    names = [f"dog {place}" for place in range(7)]
    view = size_view(table, needs, names, JOB.yarn, JOB.maker, date(2026, 1, 5))
    text = words_of(size_sheet.render(view, Paper.A4))

    assert "No size fits: dog 0; dog 6" in text
    assert "Caution: the hood is worn only under supervision." in text
    assert "ask your vet" in text
    assert "No size fits" not in words_of(sizes(medium()))


def test_no_sizes_make_a_sheet_that_says_so() -> None:
    view = size_view(SizeTable((), (0,)), [], ["Pug"], JOB.yarn, JOB.maker, date(2026, 1, 5))

    assert "No size fits: Pug" in words_of(size_sheet.render(view, Paper.A4))


def test_yarns_and_names_that_do_not_match_are_refused() -> None:
    for needs, names in (([], ["a"] * 7), (["?"] * len(stock().sizes), ["a"])):
        with pytest.raises(ValueOutOfRangeError, match="a name for each dog"):
            size_view(stock(), needs, names, JOB.yarn, JOB.maker, date(2026, 1, 5))  # type: ignore[arg-type]


def test_what_was_cut_is_told() -> None:
    assert "dog: cut to 40 characters." in sized(hostile()).warnings
