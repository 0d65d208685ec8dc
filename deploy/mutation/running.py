"""Running the tests of `sizing`: the chosen ones only, or all to see what they reach."""

import os
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pytest
from hypothesis import Phase, settings

PYTEST = ("-q", "-p", "no:cacheprovider", "-W", "ignore::pytest.PytestAssertRewriteWarning")
ENOUGH_CODE = 77
"""The exit code of a run that was stopped because it has been enough."""
Places = dict[str, dict[str, list[int]]]
"""For each test, the blocks that it reaches in each module."""


@dataclass(frozen=True, slots=True)
class Look:
    """How closely a mutant is looked at.

    Attributes:
        seconds: processor seconds after which it has been enough, between two tests.
        parameters: how many parameters of a test are tried.
        examples: how many examples of a property are tried.
    """

    seconds: float = 4.0
    parameters: int = 3
    examples: int = 15

    @property
    def longest(self) -> float:
        """Return the processor seconds after which a mutant goes round in a circle."""
        return 3 * self.seconds + 10


class Chosen:
    """A pytest plugin: only the chosen tests, in their order, and each with the same dice."""

    def __init__(self, order: dict[str, int] | None, look: Look) -> None:
        """Take the tests' places in the order, None for all, and how closely to look."""
        self.order, self.look = order, look
        self.failed = ""

    def pytest_runtest_logfinish(self) -> None:
        """Stop between two tests when it has been enough."""
        if self.order is not None and time.process_time() > self.look.seconds:
            pytest.exit("enough", returncode=ENOUGH_CODE)

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Choose, order and steady."""
        if self.order is not None:
            order = self.order
            items[:] = sorted(
                (item for item in items if item.nodeid in order),
                key=lambda item: order[item.nodeid],
            )
        for item in items:
            self._steady(getattr(item, "function", None))

    def _steady(self, function: object) -> None:
        # The decorator of hypothesis keeps a test's settings there; a profile is outdone by it.
        kept = "_hypothesis_internal_use_settings"
        now = getattr(function, kept, None)
        if now is not None:
            fewer = min(now.max_examples, self.look.examples)
            phases = (Phase.explicit, Phase.generate)  # shrinking says no more than "failed"
            steady = settings(
                now, max_examples=fewer, derandomize=True, database=None, phases=phases
            )
            setattr(function, kept, steady)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Keep the name of the test that failed."""
        if report.failed:
            self.failed = report.nodeid


class Reached(Chosen):
    """A pytest plugin that writes down the blocks which each test reaches."""

    def __init__(self) -> None:
        """Begin with nothing known."""
        super().__init__(None, Look())
        self.now: dict[str, set[int]] = defaultdict(set)
        self.found: Places = {}
        self.seconds: dict[str, float] = {}

    def mark(self, module: str) -> Callable[[int], None]:
        """Return what a module calls before each block."""

        def reached(block: int) -> None:
            self.now[module].add(block)

        return reached

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """Note what is reached from the fixtures to the end."""
        self.now.clear()
        began = time.monotonic()
        answer = yield
        self.seconds[item.nodeid] = round(time.monotonic() - began, 4)
        self.found[item.nodeid] = {module: sorted(found) for module, found in self.now.items()}
        return answer


def quietly(file: str, plugin: Chosen) -> int:
    """Run the chosen tests of a file without a word."""
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"  # they take longer than most tests
    sink = os.open(os.devnull, os.O_WRONLY)
    os.dup2(sink, 1)
    os.dup2(sink, 2)
    return int(pytest.main([file, "-x", *PYTEST], plugins=[plugin]))
