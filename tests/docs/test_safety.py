"""The table of what is asked of the door names tests that there are, and each number once."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
SAFETY = (ROOT / "docs" / "safety.md").read_text(encoding="utf-8")
FILES = {
    "G": "tests/service/test_gate.py",
    "C": "tests/service/test_coming_in.py",
    "A": "tests/service/test_accounts.py",
    "H": "tests/service/test_hostile_input.py",
    "F": "tests/service/bringing/test_lines.py",
    "N": "tests/service/test_door_news.py",
    "P": "tests/service/test_second_step.py",
}
STATES = ("met", "in part", "not met", "does not apply", "by the proxy")


def rows() -> list[list[str]]:
    lines = [line for line in SAFETY.splitlines() if re.match(r"\| [0-9]", line)]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


def test_every_test_that_is_named_is_there() -> None:
    named = re.findall(r"`(\w+)` \(([GCAHFNP])(?:, [GCAHFNP])*\)", SAFETY)
    assert len(named) > 40
    for part, letter in named:
        tests = re.findall(r"def test_(\w+)", (ROOT / FILES[letter]).read_text(encoding="utf-8"))
        assert any(part in name for name in tests), f"{part} ({letter})"


def test_every_number_has_one_state() -> None:
    numbers = [number for row in rows() for number in re.split(r", | to ", row[0])]
    assert len(numbers) == len(set(numbers))
    assert {number.split(".")[0] for number in numbers} == set(map(str, range(2, 15)))
    assert all((row[2].startswith(STATES) and row[3]) or row[2] == STATES[3] for row in rows())
