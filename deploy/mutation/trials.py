"""Trying a mutant: a forked child imports it, and runs the tests that reach it."""

import ast
import importlib
import json
import os
import resource
import signal
import sys
import time
from collections import Counter, defaultdict
from pathlib import Path
from zlib import crc32

from deploy.mutation.imports import Finder, forget, imported, module_of, modules
from deploy.mutation.mutants import Mutant
from deploy.mutation.running import ENOUGH_CODE, Chosen, Look, Places, quietly

WARM = ("numpy", "scipy.stats", "shapely", "pint", "pydantic", "hypothesis.extra.numpy")
MEMORY = 4 << 30
_NO_TESTS, _INTERRUPTED = 5, 2
_ENDS = {
    **dict.fromkeys((0, _NO_TESTS, ENOUGH_CODE), "survived"),
    # The changed module, or what a test takes from it, could not even be made.
    **dict.fromkeys((1, _INTERRUPTED), "killed"),
}


class Course:
    """What is known of the tests, and the fork in which each mutant is tried."""

    def __init__(self, kept: Path, look: Look) -> None:
        """Read the map, and import once what no mutant changes."""
        known = json.loads(kept.read_text(encoding="utf-8"))
        self.reached: Places = known["reached"]
        self.seconds: dict[str, float] = known["seconds"]
        self.look = look
        self.noticed: Counter[tuple[str, str]] = Counter()
        for name in WARM:
            importlib.import_module(name)
        self.paths = modules()
        for name in self.paths.values():
            importlib.import_module(name)
            imported(name)
        units = importlib.import_module("sizing.units")
        units.read_length("1 ft", units.LengthUnit.CM)  # pint reads its definitions once

    def tests(self, path: str, mutant: Mutant) -> list[str]:
        """Return the tests that reach a mutant, the quickest first, and one of each before two."""
        module = module_of(path)
        users = [path, *(other for other, name in self.paths.items() if module in imported(name))]
        near = self._reaching([path]) or self._reaching(users)
        found = [test for test in near if mutant.block in self.reached[test].get(path, [])]
        # What stands outside functions, or runs on import only, may matter to any of them.
        found = found or near
        turns: dict[str, int] = defaultdict(int)
        ranked: list[tuple[int, float, str]] = []
        for test in sorted(found, key=lambda test: crc32(test.encode())):  # well mixed
            name = test.partition("[")[0]
            turns[name] += 1
            if turns[name] <= self.look.parameters:
                ranked.append((turns[name], self.seconds[test], test))
        return [test for _, _, test in sorted(ranked)]

    def _reaching(self, paths: list[str]) -> list[str]:
        return [test for test, places in self.reached.items() if any(p in places for p in paths)]

    def files(self, path: str, chosen: list[str]) -> list[str]:
        """Return the tests' files: what noticed much first, then what reaches few modules."""
        reach: dict[str, list[int]] = defaultdict(list)
        for test in chosen:
            reach[test.partition("::")[0]].append(len(self.reached[test]))
        return sorted(
            reach,
            key=lambda file: (-self.noticed[path, file], sum(reach[file]) / len(reach[file])),
        )

    def tried(self, path: str, mutant: Mutant) -> dict[str, object]:
        """Return what became of a mutant: killed and by which test, or survived."""
        chosen = self.tests(path, mutant)
        if not chosen:
            return {"end": "unreached", "tests": 0}
        began = time.monotonic()
        end, by = self._forked(path, mutant, chosen)
        took = round(time.monotonic() - began, 1)
        return {"end": end, "by": by, "tests": len(chosen), "seconds": took}

    def _forked(self, path: str, mutant: Mutant, chosen: list[str]) -> tuple[str, str]:
        said, hears = os.pipe()
        child = os.fork()
        if child == 0:
            code, failed = self._in_child(path, mutant, chosen)
            os.write(hears, failed.encode())
            os._exit(code)
        os.close(hears)
        _, status = os.waitpid(child, 0)
        with os.fdopen(said) as answer:
            by = answer.read()
        self.noticed[path, by.partition("::")[0]] += 1
        if os.WIFSIGNALED(status):
            late = os.WTERMSIG(status) == signal.SIGPROF
            return ("timeout" if late else "crash"), ""
        code = 1 if by else os.waitstatus_to_exitcode(status)
        return _ENDS.get(code, f"exit {code}"), by

    def _in_child(self, path: str, mutant: Mutant, chosen: list[str]) -> tuple[int, str]:
        # Processor seconds, so that a busy machine makes no difference.
        signal.setitimer(signal.ITIMER_PROF, self.look.longest)
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        plugin = Chosen({test: place for place, test in enumerate(chosen)}, self.look)

        def change(found: str, tree: ast.Module) -> ast.Module | None:
            return mutant.applied(tree) if found == path else None

        sys.meta_path.insert(0, Finder(change))
        forget(module_of(path))
        for file in self.files(path, chosen):
            code = quietly(file, plugin)
            if code not in {0, _NO_TESTS}:
                return code, plugin.failed
        return 0, ""
