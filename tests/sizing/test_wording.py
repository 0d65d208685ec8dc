"""The sentences a maker works from: every stitch has one place, and only one."""

import re

import pytest
from hypothesis import given, settings

from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.pattern import pattern_of
from sizing.rows import Op, Operation, PartName, Row, Side
from sizing.search import choose
from sizing.wording import GAUGE_WORD, KEY, Terms, part_opening, part_title, row_text, stitch_name
from tests.sizing.builders import row_plan
from tests.sizing.strategies import gauges
from tests.sizing.test_rowplan import aims

PATTERN = pattern_of(row_plan())
ALL_WORDS = {
    terms: [
        *(part_opening(part, terms) for part in PATTERN.parts),
        *(row_text(part.part, row, terms) for part in PATTERN.parts for row in part.rows),
    ]
    for terms in Terms
}


def spoken_count(text: str) -> tuple[int, int]:
    """Add up a hood row as a maker reads it: stitches used of the row below, stitches made."""
    used = made = 0
    for step in text.rpartition(". (")[0].split(", "):
        if match := re.fullmatch(r"(\d+) dec over the next (\d+) sts", step):
            assert int(match[2]) == 2 * int(match[1])
            used, made = used + int(match[2]), made + int(match[1])
        else:
            match = re.fullmatch(r"1 (?:sc|dc) in (?:each of next (\d+) sts|next st)", step)
            assert match, step
            count = int(match[1] or 1)
            used, made = used + count, made + count
    return used, made


@given(aims(), gauges())
@settings(max_examples=100)
def test_a_decreasing_row_as_spoken_uses_up_the_row_below(aim: Dimensions, gauge: Gauge) -> None:
    plan = choose(aim, gauge)
    hood = pattern_of(plan).part(PartName.HOOD)

    for row in hood.rows:
        if len(row.operations) > 1:
            for terms in Terms:
                spoken = row_text(PartName.HOOD, row, terms)
                below = plan.stitches_after(row.row - 1)
                assert spoken_count(spoken) == (below, row.stitches)
                assert spoken.endswith(f"({row.stitches} sts)")


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
    key = dict(KEY[terms])

    for op in Op:
        assert stitch_name(op, terms).partition(" in the ")[0] in key
    assert "back loop" in key
    assert len(key) == len(KEY[terms])


def test_the_openings_say_what_a_maker_must_do_between_the_parts() -> None:
    collar, joined, hood, closed = (part_opening(part, Terms.US) for part in PATTERN.parts)

    assert collar.startswith("Chain 11.")
    assert "no turning chain" in collar  # common practice, no source
    assert "last row against the foundation chain" in joined
    assert "right side out" in joined
    assert "under the chin" in hood
    assert "from seam to seam; do not join" in hood
    assert closed.index("tail") < closed.index("Fold at the centre back") < closed.index("weave")


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
