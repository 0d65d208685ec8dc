"""What `deploy/check.py` provides to the tests that need more than Python."""

import os
import re

import pytest

ADVICE = "run the tests with `python3 deploy/check.py`, which provides it"


def _provided(variable: str, what: str) -> str:
    value = os.environ.get(variable)
    if not value:
        # Failed, not skipped: a test that did not run must not look like one that passed.
        pytest.fail(f"{variable} is not set to {what}: {ADVICE}.", pytrace=False)
    return value


@pytest.fixture(scope="session")
def postgres_url() -> str:
    """The SQLAlchemy address of an empty PostgreSQL database that the tests may fill and drop."""
    url = _provided("HOODWRIGHT_TEST_POSTGRES", "the address of an empty PostgreSQL database")
    return re.sub(r"\Apostgres(?:ql)?(?:\+\w+)?://", "postgresql+psycopg://", url)


@pytest.fixture(scope="session")
def chromium_path() -> str:
    """The executable of a Chromium or Chrome."""
    return _provided("HOODWRIGHT_TEST_CHROMIUM", "the path of Chromium")
