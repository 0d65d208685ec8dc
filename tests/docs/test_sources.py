"""The table of sources says what the code says."""

from deploy.facts import TABLE, table


def test_the_table_of_sources_is_the_one_in_the_code() -> None:
    assert TABLE.read_text(encoding="utf-8") == table(), "run: python3 deploy/facts.py"


def test_every_section_has_an_origin_in_each_row() -> None:
    rows = [row for row in table().splitlines() if row.startswith("| `")]

    assert len(rows) > 100
    grades = ("published", "derived", "common practice, no source", "from memory")
    assert all(row.rstrip(" |").split(" | ")[-1].startswith(grades) for row in rows)
