"""The table of evidence says what the code gives."""

from functools import cache

from deploy.evidence import TABLE, number, table
from tests.sizing.outside.registry import ROWS, THEMES


@cache
def fresh() -> str:
    return table()


def rows() -> list[str]:
    """The rows of the themes: ten cells, the last the name of the test."""
    found = [line for line in fresh().splitlines() if line.endswith("` |")]
    return [line for line in found if line.count(" | ") == 9]


def test_the_table_of_evidence_is_what_the_code_gives() -> None:
    assert TABLE.read_text(encoding="utf-8") == fresh(), "run: python3 deploy/evidence.py"


def test_every_check_is_a_row_with_ten_cells_and_no_bad_one_is_hidden() -> None:
    found = rows()

    assert [row.rsplit("`", 2)[1] for row in found] == [check.key for check in ROWS]
    assert sum("**differs.**" in row for row in found) == sum(bool(one.differs) for one in ROWS)
    short = fresh().partition("## The rows that differ")[2].partition("\n## ")[0]
    assert all(f"`{one.key}` |" in short for one in ROWS if one.differs)
    assert all(f"\n## {title}\n" in fresh() for title in THEMES)


def test_a_number_is_shown_without_a_floats_dust() -> None:
    assert number(1e-13, 4) == "0"
    assert number(355.59999999999997, 4) == "355.6"
    assert number(12345.6, 4) == "12346"
    assert number(-0.25, 4) == "\u22120.25"
