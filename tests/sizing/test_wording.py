"""The sentences a maker works from: every stitch has one place, and only one."""

import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.pattern import pattern_of
from sizing.rowplan import RowPlan
from sizing.rows import SEAMS, Op, Operation, Part, PartName, Pattern, Row, Side
from sizing.search import choose
from sizing.variants import Make, Stripe, Stripes, buttoned_collar
from sizing.wording import (
    GAUGE_WORD,
    KEY,
    Hand,
    Terms,
    hand_notes,
    key_for,
    part_closing,
    part_opening,
    part_title,
    reads_from,
    row_text,
    stitch_name,
)
from tests.sizing.builders import row_plan
from tests.sizing.reader import after, read_row
from tests.sizing.strategies import gauges
from tests.sizing.test_rowplan import aims
from tests.sizing.variants import made_hoods

PATTERN = pattern_of(row_plan())
EVERY_OP = Pattern(
    (Part(PartName.HOOD, (Row(1, Side.RIGHT, tuple(Operation(op, 1) for op in Op), 1),)),)
)
GAUGE = Gauge(12.5, 14.3, 12.5, 14.1, tested=True)
ALL_WORDS = {
    terms: [
        *(part_opening(part, terms) for part in PATTERN.parts),
        *(row_text(part.part, row, terms) for part in PATTERN.parts for row in part.rows),
    ]
    for terms in Terms
}


def below(part: Part, at: int, collar: Part) -> int:
    """What a row is worked into: row ends, chains or the stitches of the row before."""
    if part.part is PartName.EDGING:
        return sum(o.count for o in part.rows[0].operations)
    if at:
        return part.rows[at - 1].stitches
    return len(collar.rows) if part.part is PartName.HOOD else (part.foundation_chain or 1) - 1


def assert_read_alike(pattern: Pattern, terms: Terms) -> None:
    """Every sentence, read by a reader of its own, gives the row's stitches back."""
    collar = pattern.part(PartName.COLLAR)
    for part in pattern.parts:
        if part.part in SEAMS:
            continue
        for at, row in enumerate(part.rows):
            text = row_text(part.part, row, terms)
            steps, count, colour = read_row(text, terms.value, below(part, at, collar))
            assert steps == [o.op for o in row.operations for _ in range(o.count)], text
            assert (count, colour) == (row.stitches, row.colour)
            used, made = after(steps)
            assert made == row.stitches
            assert part.rounds or used == below(part, at, collar)


@given(aims(), gauges(), st.sampled_from(Terms))
@settings(max_examples=100)
def test_every_row_as_spoken_is_the_row_as_worked(
    aim: Dimensions, gauge: Gauge, terms: Terms
) -> None:
    assert_read_alike(pattern_of(choose(aim, gauge)), terms)


@given(made_hoods(), st.sampled_from(Terms))
@settings(max_examples=100, suppress_health_check=[HealthCheck.too_slow])
def test_every_row_of_a_variant_as_spoken_is_the_row_as_worked(
    case: tuple[RowPlan, Gauge, Make], terms: Terms
) -> None:
    plan, _, make = case

    assert_read_alike(pattern_of(plan, make), terms)


@given(made_hoods(), st.sampled_from(Terms))
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_no_sentence_of_a_variant_can_be_read_two_ways(
    case: tuple[RowPlan, Gauge, Make], terms: Terms
) -> None:
    plan, _, make = case
    pattern = pattern_of(plan, make)
    key = dict(key_for(pattern, terms))
    for part in pattern.parts:
        said = [row_text(part.part, row, terms) for row in part.rows]
        said += [part_opening(part, terms), part_closing(part)]
        for words in said:
            bare = re.sub(r"In [^:]+: ", "", words)
            # "6 sc into the ring" has one place only.
            assert not re.search(r"\b([2-9]|\d\d+) (sc|dc)\b(?! into the ring)", bare), words
            other = "dc" if terms is Terms.US else "sc"
            assert not re.search(rf"\b{other}\b", bare), words
        for row in part.rows:
            for operation in row.operations:
                assert stitch_name(operation.op, terms).partition(" in the ")[0] in key


@pytest.mark.parametrize("terms", Terms)
def test_no_sentence_can_be_read_as_two_stitches_in_one(terms: Terms) -> None:
    # "2 sc" may mean two in one stitch or one in each of two (a known trap of patterns).
    for words in ALL_WORDS[terms]:
        assert not re.search(r"\b([2-9]|\d\d+) (sc|dc)\b", words), words


def test_uk_terms_never_speak_of_sc_nor_us_terms_of_dc() -> None:
    # US single crochet is UK double crochet, and US "dc" is another, taller stitch.
    assert not any(re.search(r"\b(sc|single)\b", words) for words in ALL_WORDS[Terms.UK])
    assert not any(re.search(r"\b(dc|double)\b", words) for words in ALL_WORDS[Terms.US])
    assert GAUGE_WORD == {Terms.US: "gauge", Terms.UK: "tension"}


@pytest.mark.parametrize("terms", Terms)
def test_every_short_word_is_in_the_key(terms: Terms) -> None:
    plain, whole = dict(KEY[terms]), dict(key_for(EVERY_OP, terms))

    for op in Op:
        assert stitch_name(op, terms).partition(" in the ")[0] in whole
    for part in PATTERN.parts:
        for row in part.rows:
            for operation in row.operations:
                assert stitch_name(operation.op, terms).partition(" in the ")[0] in plain
    assert "back loop" in plain
    assert key_for(PATTERN, terms) == KEY[terms]
    assert len(whole) == len(key_for(EVERY_OP, terms))


def test_the_openings_say_what_a_maker_must_do_between_the_parts() -> None:
    collar, joined, hood, closed = (part_opening(part, Terms.US) for part in PATTERN.parts)

    assert collar.startswith("Chain 11.")
    assert "no turning chain" in collar  # common practice, no source
    assert "last row against the foundation chain" in joined
    assert "right side out" in joined
    assert "under the chin" in hood
    assert "from seam to seam; do not join" in hood
    assert closed.index("tail") < closed.index("Fold at the centre back")
    assert closed.index("Fold at the centre back") < closed.index("turn right side out")


def test_seams_say_how_many_stitches_and_through_what() -> None:
    joined, closed = (PATTERN.part(name) for name in (PartName.COLLAR_SEAM, PartName.CROWN_SEAM))

    assert row_text(joined.part, joined.rows[0], Terms.US) == (
        "10 sts to join: 1 sl st through each st of the last row and its chain."
    )
    assert row_text(closed.part, closed.rows[0], Terms.US) == (
        "4 whip stitches, each through 1 st of both halves."
    )


def test_one_stitch_is_spoken_of_as_one() -> None:
    operations = (Operation(Op.SC, 1), Operation(Op.DEC, 4), Operation(Op.SC, 1))
    narrow = Row(5, Side.RIGHT, operations, 6)

    assert row_text(PartName.HOOD, narrow, Terms.US) == (
        "1 sc in next st, 4 dec over the next 8 sts, 1 sc in next st. (6 sts)"
    )


def test_each_part_has_its_heading() -> None:
    assert len({part_title(name) for name in PartName}) == len(PartName)


def test_a_left_hander_reads_the_chart_in_the_mirror_and_the_same_counts() -> None:
    assert reads_from(Hand.RIGHT, Side.RIGHT) == reads_from(Hand.LEFT, Side.WRONG) == "right"
    assert reads_from(Hand.LEFT, Side.RIGHT) == reads_from(Hand.RIGHT, Side.WRONG) == "left"
    assert hand_notes(Hand.RIGHT) == ()
    notes = " ".join(hand_notes(Hand.LEFT))
    assert "from left to right" in notes
    assert "rounds go clockwise" in notes
    assert "Right side and wrong side" in notes


@pytest.mark.parametrize("hand", Hand)
def test_words_of_direction_follow_the_hand_and_nothing_else_does(hand: Hand) -> None:
    buttoned = pattern_of(row_plan(high=14), Make(buttoned=buttoned_collar(14, GAUGE)))
    opening = part_opening(buttoned.part(PartName.HOOD), Terms.US, hand)

    assert f"with the foundation chain at your {hand}" in opening
    for part in PATTERN.parts:
        assert part_opening(part, Terms.US, hand) == part_opening(part, Terms.US)


def test_a_buttoned_collar_says_what_stays_free_and_where_the_buttons_go() -> None:
    pattern = pattern_of(row_plan(high=14), Make(buttoned=buttoned_collar(14, GAUGE)))
    strip, cap = pattern.part(PartName.COLLAR), pattern.part(PartName.HOOD)

    assert "the last 6 rows lap over" in part_opening(strip, Terms.US)
    assert part_closing(strip).startswith("Sew 3 buttons on the first rows")
    assert row_text(PartName.HOOD, cap.rows[0], Terms.US) == (
        "1 sc in each of next 40 row ends, leave the last 6 row ends free. (40 sts)"
    )


def test_stripes_say_how_to_change_and_name_the_colour_before_each_row() -> None:
    stripes = Stripes((Stripe("cream", 4), Stripe("rust", 2)), (Stripe("rust", 30),))
    pattern = pattern_of(row_plan(), Make(stripes=stripes))
    strip, cap = pattern.part(PartName.COLLAR), pattern.part(PartName.HOOD)

    assert "cut the old colour" in part_opening(strip, Terms.US)
    assert "cut the old colour" not in part_opening(cap, Terms.US)
    assert row_text(PartName.COLLAR, strip.rows[4], Terms.UK) == (
        "In rust: 1 dc in the back loop of each st to end. (10 sts)"
    )


def test_turning_chains_are_spoken_of_as_no_stitch() -> None:
    turned = pattern_of(row_plan(), Make(turning_chain=1))

    for name in (PartName.COLLAR, PartName.HOOD):
        opening = part_opening(turned.part(name), Terms.US)
        assert "chain 1, which is no stitch" in opening
        assert "no turning chain" not in opening
