"""What `deploy/check.py` provides to the tests that need more than Python."""

import os
import re
import signal
from collections.abc import Iterator

import pytest
from hypothesis import settings

from deploy.postgres import libpq_url, new_database

# No deadline: the first example pays for pint's registry, and a busy machine is no fault. Here,
# because some tests of the core are read by those of the documents, before any of their own.
settings.register_profile("patient", deadline=None)
settings.load_profile("patient")

# A shell that starts the tests in the background has them ignore Ctrl-C, and so would every
# program that they start and then stop with it. A program begins with the default instead.
signal.signal(signal.SIGINT, signal.default_int_handler)

ADVICE = "run the tests with `python3 deploy/check.py`, which provides it"


def _provided(variable: str, what: str) -> str:
    value = os.environ.get(variable)
    if not value:
        # Failed, not skipped: a test that did not run must not look like one that passed.
        pytest.fail(f"{variable} is not set to {what}: {ADVICE}.", pytrace=False)
    return value


@pytest.fixture(scope="session")
def postgres_url() -> Iterator[str]:
    """The SQLAlchemy address of an empty PostgreSQL database that the tests may fill and drop.

    One for each process of the tests, so that they do not meet.
    """
    given = _provided("HOODWRIGHT_TEST_POSTGRES", "the address of an empty PostgreSQL database")
    with new_database(libpq_url(given)) as url:
        yield re.sub(r"\Apostgresql://", "postgresql+psycopg://", url)


@pytest.fixture(scope="session")
def chromium_path() -> str:
    """The executable of a Chromium or Chrome."""
    return _provided("HOODWRIGHT_TEST_CHROMIUM", "the path of Chromium")
