"""Changing the core on purpose: which changes are made, to what, and that tests notice them."""

import ast
import json
import subprocess
import sys
from pathlib import Path

from deploy.mutation.imports import ROOT
from deploy.mutation.mutants import Mutant, mutants, sample

SOURCE = '''
"""A module with 3 words."""
LEAST = Fact(2, "mm", derived("judgement"))

def wide(mm: float, most: int = 9) -> bool:
    """Return whether it is over 5."""
    if mm > most and mm:
        return mm < 2 * most
    return False

def count(names: list[str]) -> int:
    return len(names)
'''

TRIAL = """
import sys
from pathlib import Path
import deploy.mutate as mutate
mutate.KEPT = Path(sys.argv[1])
mutate.main(sys.argv[2:])
"""


def changed(source: str, what: str) -> str:
    (mutant,) = (one for one in mutants(source) if one.what == what)
    return ast.unparse(mutant.applied(ast.parse(source)))


def test_logic_is_changed_and_texts_annotations_and_facts_are_left_alone() -> None:
    found = list(mutants(SOURCE))
    said = {one.what for one in found}

    assert {one.function for one in found} == {"wide", "count"}
    assert {"mm > most -> mm >= most", "mm > most -> mm <= most", "9 -> 10"} <= said
    assert {"mm > most and mm -> mm > most or mm", "2 * most -> 2 / most"} <= said
    assert {"return of a bool: not (it)", "return of a int: (it) + 1", "False -> True"} <= said
    assert not any("5" in what or "judgement" in what for what in said)
    assert min(one.line for one in found) > SOURCE.count("\n", 0, SOURCE.index("def wide"))


def test_a_change_is_made_in_its_one_place() -> None:
    whole = ast.unparse(ast.parse(SOURCE))

    assert changed(SOURCE, "2 * most -> 2 / most") == whole.replace("2 * most", "2 / most")
    assert changed(SOURCE, "False -> True") == whole.replace("return False", "return True")
    assert "return len(names) + 1" in changed(SOURCE, "return of a int: (it) + 1")


def test_a_sample_is_the_same_each_time_and_leaves_no_function_out() -> None:
    found = list(mutants(SOURCE))
    drawn = sample(found, 4, "a module")

    assert drawn == sample(found, 4, "a module") != found
    assert len(drawn) == 4
    assert {one.function for one in drawn} == {"wide", "count"}
    everything = sample(found, 1000, "a module")

    def place(one: Mutant) -> tuple[int, int, str]:
        return one.line, one.column, one.what

    assert everything == sorted(found, key=place)


def test_a_changed_core_is_noticed_by_its_tests_and_the_file_is_left_as_it_is(
    tmp_path: Path,
) -> None:
    before = (ROOT / "sizing/evenly.py").read_text(encoding="utf-8")

    def mutate(*arguments: str) -> None:
        command = [sys.executable, "-c", TRIAL, str(tmp_path), *arguments]
        subprocess.run(command, cwd=ROOT, check=True, capture_output=True)  # noqa: S603 - our own

    mutate("map", "--only", "tests/sizing/test_evenly.py")
    mutate("run", "--only", "sizing/evenly.py:6:27")
    lines = (tmp_path / "results.jsonl").read_text(encoding="utf-8").splitlines()
    ends = {record["key"]: record for record in map(json.loads, lines)}

    assert ends
    for record in ends.values():
        assert record["end"] == "killed"
        assert record["by"].startswith("tests/sizing/test_evenly.py::")
    assert (ROOT / "sizing/evenly.py").read_text(encoding="utf-8") == before
