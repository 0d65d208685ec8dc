"""How much the tests of `sizing` notice: change its logic in small ways and run them.

    python -m deploy.mutate map                 # once: which test reaches which statements
    python -m deploy.mutate run --share 0.15    # a sample of every module's changes
    python -m deploy.mutate run --only sizing/money.py:57
    python -m deploy.mutate run --survivors     # those that no test noticed, once more
    python -m deploy.mutate table

Run by hand in the test environment, on Linux or a Mac. The files are left as they are: a forked
child imports the changed module, and runs the tests that reach the changed statement, the quickest
first. What is known so far lies in the folder `.mutation`, one line of JSON for each mutant.
"""

import argparse
import ast
import builtins
import functools
import json
import os
import random
import re
import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence

import pytest

from deploy.mutation.imports import ROOT, Finder
from deploy.mutation.mutants import Mutant, instrumented, mutants, sample
from deploy.mutation.running import PYTEST, Look, Reached
from deploy.mutation.trials import Course

KEPT = ROOT / ".mutation"
TESTS = "tests/sizing"
REACHED = "_reached_"
DATA = ("sizing/breeds/", "sizing/wording/", "sizing/evidence.py", "sizing/errors.py")
"""Tables and texts: there is no logic in them to change."""
SURVIVED = ("survived", "unreached")


def draw_map(only: Sequence[str]) -> None:
    """Run tests once, and keep which of them reach which blocks and how long each takes."""
    seen = Reached()

    def change(path: str, tree: ast.Module) -> ast.Module:
        call = REACHED + re.sub(r"\W", "_", path)
        setattr(builtins, call, seen.mark(path))
        return instrumented(tree, call)

    sys.meta_path.insert(0, Finder(change))
    code = pytest.main([*(only or [TESTS]), *PYTEST], plugins=[seen])
    if code:
        sys.exit("mutate: the tests must pass before anything is changed.")
    KEPT.mkdir(exist_ok=True)
    file = KEPT / "map.json"
    known = json.loads(file.read_text(encoding="utf-8")) if only and file.exists() else {}
    kept = {
        "reached": known.get("reached", {}) | seen.found,
        "seconds": known.get("seconds", {}) | seen.seconds,
    }
    file.write_text(json.dumps(kept), encoding="utf-8")


@functools.cache
def found_in(path: str) -> tuple[Mutant, ...]:
    """Return all mutants of a module."""
    return tuple(mutants((ROOT / path).read_text(encoding="utf-8")))


def key(path: str, mutant: Mutant) -> str:
    """Return the name of a mutant."""
    return f"{path}:{mutant.line}:{mutant.column} {mutant.what}"


def records() -> dict[str, dict[str, object]]:
    """Return what is known of each mutant, the newest only."""
    file = KEPT / "results.jsonl"
    lines = file.read_text(encoding="utf-8").splitlines() if file.exists() else []
    return {record["key"]: record for record in map(json.loads, lines)}


def wanted(options: argparse.Namespace) -> Iterator[tuple[str, Mutant]]:
    """Yield the mutants that were asked for."""
    known = records()
    for file in sorted((ROOT / "sizing").rglob("*.py")):
        path = file.relative_to(ROOT).as_posix()
        if path.startswith((*DATA, *options.leave)):
            continue
        found = list(found_in(path))
        if options.only:
            drawn = [m for m in found if key(path, m).startswith(tuple(options.only))]
        elif options.survivors:
            drawn = [m for m in found if known.get(key(path, m), {}).get("end") in SURVIVED]
        else:
            count = max(options.least, round(options.share * len(found)))
            drawn = [m for m in sample(found, count, path) if key(path, m) not in known]
        yield from ((path, mutant) for mutant in drawn)


def run(options: argparse.Namespace) -> None:
    """Try mutants, and say what became of each."""
    look = Look(options.seconds, options.parameters, options.examples)
    course = Course(KEPT / "map.json", look)
    with (KEPT / "results.jsonl").open("a", encoding="utf-8") as results:
        asked = list(wanted(options))
        random.Random(len(asked)).shuffle(asked)  # noqa: S311 - so that a part is a sample too
        for path, mutant in asked:
            named = {"key": key(path, mutant), "module": path, "function": mutant.function}
            record = {**named, **course.tried(path, mutant)}
            results.write(json.dumps(record) + "\n")
            results.flush()
            print(record["end"], record["key"], record.get("by", ""), record.get("seconds"))


def table(_options: argparse.Namespace) -> None:
    """Print the figures of each module."""
    rows: dict[str, list[str]] = defaultdict(list)
    for record in records().values():
        rows[str(record["module"])].append(str(record["end"]))
    print("| module | tried | noticed | survived |\n|---|---|---|---|")
    for module, ends in sorted(rows.items()):
        left = sum(end in SURVIVED for end in ends)
        print(f"| {module} | {len(ends)} | {len(ends) - left} | {left} |")


def main(arguments: Sequence[str] | None = None) -> None:
    """Do what was asked for."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("what", choices=("map", "run", "table"))
    parser.add_argument("--share", type=float, default=0.1, help="of each module's mutants")
    parser.add_argument("--least", type=int, default=6, help="of each module")
    parser.add_argument("--leave", nargs="*", default=[], help="files to leave out")
    parser.add_argument(
        "--only", nargs="*", help="mutants, by how their names begin; files, for map"
    )
    parser.add_argument("--survivors", action="store_true", help="those that survived, again")
    parser.add_argument("--seconds", type=float, default=4.0, help="processor time for each")
    parser.add_argument("--parameters", type=int, default=3, help="of each test")
    parser.add_argument("--examples", type=int, default=15, help="of each property")
    options = parser.parse_args(arguments)
    os.chdir(ROOT)
    {"map": lambda o: draw_map(o.only or ()), "run": run, "table": table}[options.what](options)


if __name__ == "__main__":
    main()
