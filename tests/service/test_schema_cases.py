"""Whatever the description of the API allows to be sent, and what it does not, is answered as it
says: with a status, a media type and a shape that it names, and never with a fault of ours.

Requests are drawn from the description itself for every operation, most of them about what is in
a shop that has something of everything; and one after the other, each fed with what was answered
before. `HOODWRIGHT_LONG=1` tries many more, in parts that can be run by themselves.
"""

import os
from collections import Counter
from dataclasses import dataclass, field
from time import monotonic
from typing import Any, Final

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.core.failures import FailureGroup
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from service.web.application import create_app
from tests.entering import BEARER, cheap
from tests.service.api import FixedClock
from tests.service.mixed import cases
from tests.service.stocked import Stocked

LONG: Final = os.environ.get("HOODWRIGHT_LONG") == "1"
PARTS: Final = 16 if LONG else 1
"""Parts that the operations are shared among."""
CASES: Final = 150 if LONG else 3
"""Requests for each operation."""
WALKS, STEPS = (60, 30) if LONG else (3, 10)
"""How often one request is made after the other, and how many."""
TOGETHER: Final = 30
"""Requests until the shop is brought back: some throw away what others want to find."""
FEWEST: Final = 80
"""Operations that there are at least."""
CHECKS: Final[list[Any]] = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
QUIETLY: Final = settings(
    deadline=None,
    suppress_health_check=list(HealthCheck),
    phases=[Phase.generate],
    database=None,
)
Described = Any
"""What is drawn from, and what is drawn: the package has no types for them."""


@dataclass
class Found:
    """What was answered."""

    began: float = field(default_factory=monotonic)
    tried: Counter[str] = field(default_factory=Counter)
    statuses: Counter[int] = field(default_factory=Counter)
    wrong: dict[tuple[str, int], str] = field(default_factory=dict)

    def hold(self, case: Described, answer: Described) -> None:
        """Count an answer, and keep what is wrong with it: one fault must not hide the next."""
        self.tried[case.operation.label] += 1
        self.statuses[answer.status_code] += 1
        if leads_elsewhere(case) and answer.status_code in {404, 405}:
            return
        try:
            case.validate_response(answer, checks=CHECKS)
        except FailureGroup as failed:
            said = "\n".join(str(one) for one in failed.exceptions)
            self.wrong.setdefault((case.operation.label, answer.status_code), said[:1500])

    def tell(self) -> None:
        """Print what came of it, and hold it against what the description says."""
        cases, operations = self.tried.total(), len(self.tried)
        seconds = monotonic() - self.began
        print(f"{cases} cases of {operations} operations in {seconds:.0f} s:", end=" ")  # noqa: T201 - shown by -s
        print(dict(sorted(self.statuses.items())))  # noqa: T201 - as above
        assert self.wrong == {}, "\n".join(f"{name}: {said}" for name, said in self.wrong.items())
        assert 401 not in self.statuses
        assert any(200 <= status < 300 for status in self.statuses)


def leads_elsewhere(case: Described) -> bool:
    """Return whether a drawn part makes another address, of which the description says nothing."""
    parts = {str(value) for value in case.path_parameters.values()}
    return any(part in {"", ".", ".."} or "/" in part for part in parts)


@pytest.fixture(params=["sqlite", "postgresql"])
def stocked(request: pytest.FixtureRequest) -> Stocked:
    """A shop with something of everything, on each database."""
    database = request.getfixturevalue(f"{request.param}_database")
    return Stocked(database, create_app(database, FixedClock(), entrance=cheap()))


def described(stocked: Stocked) -> Described:
    """Return the description that a shop gives of its API."""
    stocked.anew()
    schema = schemathesis.openapi.from_asgi("/openapi.json", stocked.app, headers=BEARER)
    # What stands in the routes' source is nothing that a client knows; drawing from it halved the
    # operations that are reached one after the other.
    schema.config.analysis.constants.enabled = False
    return schema


@pytest.mark.parametrize("part", range(PARTS))
def test_every_answer_to_what_may_be_sent_is_one_that_the_description_names(
    stocked: Stocked, part: int
) -> None:
    schema, found = described(stocked), Found()
    operations = [one.ok() for one in schema.get_all_operations()]
    assert len(operations) >= FEWEST

    def cases_of(operation: Described) -> None:
        @given(case=cases(operation, stocked))
        @settings(QUIETLY, max_examples=CASES)
        def try_it(case: Described) -> None:
            if found.tried[operation.label] % TOGETHER == 0:
                stocked.anew()
            found.hold(case, case.call(headers=BEARER))

        try_it()

    for operation in operations[part::PARTS]:
        cases_of(operation)

    found.tell()
    # Most are behind the door; a part of the long form may have more that are not.
    assert found.statuses[404] < (0.25 if LONG else 0.2) * found.tried.total()
    assert len(found.tried) == len(operations[part::PARTS])


def test_requests_that_follow_one_another_are_answered_so_too(stocked: Stocked) -> None:
    schema, found = described(stocked), Found()

    class Walk(schema.as_state_machine()):  # type: ignore[misc]  # without a type
        """Requests in a row: what an answer names is what the next ones are about."""

        def setup(self) -> None:
            stocked.anew()

        def before_call(self, case: Described) -> None:
            if "if-match" in {one.name.lower() for one in case.operation.headers}:
                case.headers["If-Match"] = stocked.tag(case.formatted_path, case.query)

        def get_call_kwargs(self, case: Described) -> dict[str, Any]:
            del case
            return {"headers": BEARER}

        def validate_response(self, response: Described, case: Described, **_: object) -> None:
            found.hold(case, response)

    Walk.run(settings=settings(QUIETLY, max_examples=WALKS, stateful_step_count=STEPS))
    found.tell()
