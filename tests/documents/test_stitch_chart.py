"""The stitch chart: every stitch over the one it is worked into, and drawn once."""

import re
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from pdfplumber.page import Page

from documents import stitch_chart
from documents.chart_blocks import most_across, pieces
from documents.chart_fold import LEAST_FOLDED, Fold, folded
from documents.chart_rows import ChartRow, Sign, chart_rows, free_ends
from documents.chart_view import chart_view
from documents.page import HEIGHT, WIDTH, Paper
from sizing.rows import DECREASES, Op, Part, PartName, Pattern, Side
from sizing.style import Hand
from sizing.wording import Terms
from tests.documents.more_samples import chart
from tests.documents.samples import (
    ORDERS,
    fine_giant,
    giant,
    medium,
    plumb,
    texts_of,
    toy,
    words_of,
)
from tests.documents.test_variant_tickets import WISHES, order_of
from tests.sizing.variants import small_patterns

CHARTED = (PartName.COLLAR, PartName.HOOD)
every_paper = pytest.mark.parametrize("paper", list(Paper))


def assert_worked_into(part: Part, rows: tuple[ChartRow, ...]) -> None:
    """Each row stands on the one below: every place is used in order, the skipped ones left."""
    for below, row, told in zip(rows, rows[1:], part.rows, strict=False):
        left_out = sum(one.count for one in told.operations if one.op is Op.SKIP)
        if row.number == 1:
            left_out -= free_ends(part)
        feet = [foot for stitch in row.stitches for foot in stitch.feet]
        used = sorted(set(feet))
        twice = sum(one.count for one in told.operations if one.op is Op.INC)

        assert feet == sorted(feet)
        assert set(used) <= {stitch.x for stitch in below.stitches}
        assert len(used) == len(below.stitches) - left_out
        assert len(feet) - len(used) == twice


def assert_in_place(row: ChartRow) -> None:
    spots = [stitch.x for stitch in row.stitches]

    assert spots == sorted(set(spots))
    for stitch in row.stitches:
        if stitch.sign in (Sign.DEC, Sign.TOGETHER):
            assert len(stitch.feet) == 2
            assert stitch.x == sum(stitch.feet) / 2
        elif stitch.feet and not row.leaders:
            assert stitch.feet == (stitch.x,)


@given(small_patterns())
@settings(max_examples=120, deadline=None)
def test_every_stitch_stands_over_its_own(pattern: Pattern) -> None:
    for name in CHARTED:
        part = pattern.part(name)
        for hand in Hand:
            rows = chart_rows(part, hand)
            assert [len(row.stitches) for row in rows[1:]] == [row.stitches for row in part.rows]
            assert_worked_into(part, rows)
            for row in rows:
                assert_in_place(row)


@given(small_patterns())
@settings(max_examples=60, deadline=None)
def test_a_left_hand_reads_the_chart_in_the_mirror(pattern: Pattern) -> None:
    for name in CHARTED:
        right, left = (chart_rows(pattern.part(name), hand) for hand in Hand)
        for one, two in zip(right, left, strict=True):
            pairs = list(zip(one.stitches, two.stitches[::-1], strict=True))
            assert all(here.sign is there.sign for here, there in pairs)
            assert all(abs(here.x + there.x) < 1e-9 for here, there in pairs)
            assert not one.number or one.from_right is not two.from_right


def test_the_loop_is_told_as_the_right_side_shows_it() -> None:
    """A front loop seen from the wrong side is the back loop: wrong side rows are marked front."""
    part = medium()[1].pattern.part(PartName.COLLAR)
    for row, told in zip(chart_rows(part)[1:], part.rows, strict=True):
        signs = {stitch.sign for stitch in row.stitches}
        if told.row == 1:
            assert signs == {Sign.CROSS}
        else:
            assert signs == {Sign.BACK if told.side is Side.RIGHT else Sign.FRONT}


@given(small_patterns())
@settings(max_examples=80, deadline=None)
def test_what_is_folded_goes_on_as_the_two_rows_below(pattern: Pattern) -> None:
    for name in CHARTED:
        rows = chart_rows(pattern.part(name))
        lines = folded(rows)
        by_number = {row.number: row for row in rows}
        drawn: list[int] = []
        for line in lines:
            if not isinstance(line, Fold):
                drawn.append(line.number)
                continue
            assert line.first - 2 in drawn
            assert line.first - 1 in drawn
            assert line.last - line.first + 1 >= LEAST_FOLDED
            for number in range(line.first, line.last + 1):
                like = by_number[line.first - 2 + (number - line.first) % 2]
                assert by_number[number].looks == like.looks
                drawn.append(number)
        assert drawn == [row.number for row in rows]


def test_a_plain_collar_is_folded() -> None:
    assert "rows 4\u201351 as rows 2\u20133" in words_of(chart(medium()))


@pytest.mark.parametrize("name", list(ORDERS))
def test_pieces_hold_every_stitch_once_and_fit_the_page(name: str) -> None:
    for one in chart_view(*ORDERS[name]()).charts:
        for cell in stitch_chart.CELLS:
            found: Counter[tuple[int, float]] = Counter()
            for piece in pieces(one, cell, HEIGHT - 20):
                assert piece.high - piece.low <= most_across(cell) <= WIDTH / cell
                assert piece.height <= HEIGHT - 20
                for line in piece.lines:
                    if isinstance(line, ChartRow):
                        found.update(
                            (line.number, stitch.x)
                            for stitch in line.stitches
                            if piece.low <= stitch.x < piece.high
                        )
            seams = one.title == "Collar strip"  # chain and seam both have no number
            for (number, _), times in found.items():
                assert times == 1 or (seams and number == 0)
            assert sum(found.values()) == sum(
                len(line.stitches) for line in one.lines if isinstance(line, ChartRow)
            )


def arms(page: Page) -> list[tuple[float, float]]:
    """The middle of each upright arm of a cross, as a reader of the PDF finds it."""
    return [
        (line["x0"], (line["top"] + line["bottom"]) / 2)
        for line in page.lines
        if abs(line["x0"] - line["x1"]) < 0.01 and 3 < line["height"] < 9
    ]


def expected(order: tuple[object, object]) -> int:
    view = chart_view(*order)  # type: ignore[arg-type]  # an order
    crossed = (Sign.CROSS, Sign.BACK, Sign.FRONT, Sign.PART)
    drawn = sum(
        stitch.sign in crossed
        for one in view.charts
        for line in one.lines
        if isinstance(line, ChartRow)
        for stitch in line.stitches
    )
    return drawn + sum(2 if sign is Sign.PART else sign in crossed for sign, _ in view.key)


@every_paper
@pytest.mark.parametrize("make", [medium, toy, giant])
def test_each_cross_is_drawn_once(make: object, paper: Paper) -> None:
    made = make()  # type: ignore[operator]  # one of the sample orders
    with plumb(chart(made, paper)) as pdf:
        assert sum(len(arms(page)) for page in pdf.pages) == expected(made)


def test_each_row_on_paper_has_its_stitches_its_number_and_its_count() -> None:
    """Counted on the page alone; the stitch machine has worked the pattern's own counts."""
    _, plan = medium()
    part = plan.pattern.part(PartName.HOOD)
    with plumb(chart(medium())) as pdf:
        page = pdf.pages[-1]
        words = page.extract_words(extra_attrs=["fontname"])
        crosses = arms(page)
        legs = [one for one in page.lines + page.curves if one["height"] > 3 and one["width"] > 3]
    for row in part.rows:
        worked = row.stitches
        label = next(
            word for word in words if word["text"] == str(row.row) and "Bold" in word["fontname"]
        )
        level = (label["top"] + label["bottom"]) / 2
        count = next(
            word["text"]
            for word in words
            if word["text"].startswith("(") and abs((word["top"] + word["bottom"]) / 2 - level) < 3
        )
        here = [x for x, y in crosses if abs(y - level) < 3]
        decreases = sum(one.count for one in row.operations if one.op in DECREASES)
        joined = [one for one in legs if abs((one["top"] + one["bottom"]) / 2 - level) < 3]

        assert count == f"({worked})"
        assert len(here) + decreases == worked
        assert bool(joined) == bool(decreases)
        assert (label["x0"] > page.width / 2) == (row.row % 2 == 1)


@pytest.mark.parametrize("name", list(WISHES))
@every_paper
def test_variants_are_charted_as_they_are(name: str, paper: Paper) -> None:
    text = words_of(chart(order_of(name), paper))

    assert "Hood" in text
    assert ("the overlap, stay free" in text) == (name == "buttoned")
    assert ("Colours: A cream, B rust." in text) == (name == "striped")


def test_turning_chains_are_drawn_beside_each_row() -> None:
    job, plan = toy()
    parts = tuple(replace(part, turning_chain=1) for part in plan.pattern.parts)
    with_turn = chart((job, replace(plan, pattern=Pattern(parts))))
    with plumb(chart((job, plan))) as plain, plumb(with_turn) as turned:
        ovals = [
            sum(1 for curve in pdf.pages[0].curves if len(curve["pts"]) > 4 and curve["width"] > 4)
            for pdf in (plain, turned)
        ]
    drawn = [
        line
        for one in chart_view(job, plan).charts
        for line in one.lines
        if isinstance(line, ChartRow) and line.number > 1
    ]

    assert ovals[1] - ovals[0] == len(drawn)


def test_the_words_are_in_the_order_s_terms_and_name_what_is_used() -> None:
    us, uk = words_of(chart(medium())), words_of(chart(giant()))

    assert "US terms" in us
    assert "sc in the back loop (RS row)" in us
    assert not re.search(r"\bdc\b", us)
    assert "UK terms" in uk
    assert not re.search(r"\bsc\b", uk)
    assert "same place" not in us
    assert "dec: invisible decrease" in us
    assert "sl st: slip stitch" in us


def test_a_left_hander_is_told_which_way_the_rows_run() -> None:
    job, plan = medium()
    pdf = stitch_chart.render(chart_view(job, plan, Hand.LEFT), Paper.A4)

    assert "RS rows (odd) run from left to right" in words_of(pdf)
    assert "RS rows (odd) run from right to left" in words_of(chart(medium()))
    assert job.terms is Terms.US


@every_paper
def test_tenth_stitches_are_numbered(paper: Paper) -> None:
    text = words_of(chart(medium(), paper))

    assert "10 20 30 40 50" in text


def test_the_largest_hood_is_split_over_pages_each_named() -> None:
    texts = texts_of(chart(fine_giant()))
    named = [re.search(r"Hood, rows (\d+)\u2013(\d+), part (\d) of (\d)", t) for t in texts[1:]]
    found = [tuple(map(int, one.groups())) for one in named if one]

    assert len(found) == len(texts) - 1
    assert len({one[:2] for one in found}) * found[0][3] == len(found)
    covered = sorted({row for low, high, _, _ in found for row in range(low, high + 1)})
    assert covered == list(range(1, fine_giant()[1].rows.hood_rows + 1))
