"""Whatever the description of the API allows to be sent, the answer is one that it names.

Cases are drawn from the description itself, right ones and wrong ones, for every operation.
`HOODWRIGHT_LONG=1` tries many more of each.
"""

import os
from collections import Counter
from typing import Any, Final

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.core.failures import FailureGroup
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from service.db import Database
from service.web.application import create_app
from tests.entering import BEARER, cheap, let_in
from tests.service.api import FixedClock
from tests.service.conftest import empty

CASES: Final = 40 if os.environ.get("HOODWRIGHT_LONG") == "1" else 3
"""Cases of each operation."""
FEWEST: Final = 80
"""Operations that there are at least."""
CHECKS: Final[list[Any]] = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]


def served(database: Database) -> Any:  # noqa: ANN401 - a description to draw from
    """Serve an empty shop; return its description."""
    empty(database)
    let_in(database, FixedClock.now)
    app = create_app(database, FixedClock(), entrance=cheap())
    return schemathesis.openapi.from_asgi("/openapi.json", app, headers=BEARER)


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_every_answer_to_what_the_description_allows_is_one_that_it_names(
    request: pytest.FixtureRequest, kind: str
) -> None:
    schema = served(request.getfixturevalue(f"{kind}_database"))
    tried: Counter[str] = Counter()
    statuses: Counter[int] = Counter()
    wrong: dict[tuple[str, int], str] = {}

    def cases_of(operation: Any) -> None:  # noqa: ANN401 - an operation of the description
        @given(case=operation.as_strategy())
        @settings(max_examples=CASES, deadline=None, suppress_health_check=list(HealthCheck))
        def try_it(case: Any) -> None:  # noqa: ANN401 - a drawn case
            answer = case.call(headers=BEARER)
            tried[operation.label] += 1
            statuses[answer.status_code] += 1
            try:
                case.validate_response(answer, checks=CHECKS)
            except FailureGroup as found:
                # Kept, so that one fault does not hide those of the operations after it.
                said = "\n".join(str(one) for one in found.exceptions)
                wrong.setdefault((operation.label, answer.status_code), said[:800])

        try_it()

    for result in schema.get_all_operations():
        cases_of(result.ok())

    print(f"{tried.total()} cases of {len(tried)} operations:", sorted(statuses.items()))  # noqa: T201 - shown by -s
    assert wrong == {}
    assert len(tried) >= FEWEST
    assert 401 not in statuses
    assert any(200 <= status < 300 for status in statuses)
