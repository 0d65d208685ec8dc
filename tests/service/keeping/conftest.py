"""A shop of its own on each database."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from deploy.postgres import libpq_url, new_database
from tests.service.keeping.shops import embedded_url, without_schemas


@pytest.fixture(scope="session")
def own(postgres_url: str) -> Iterator[str]:
    """A database of its own on the server, for all tests: to make one is slow."""
    with new_database(libpq_url(postgres_url)) as url:
        yield url


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The address of a database that nobody has made tables in, on each in turn."""
    if request.param == "sqlite":
        folder = tmp_path / "shop"
        folder.mkdir()
        return embedded_url(folder)
    url: str = request.getfixturevalue("own")
    without_schemas(url)
    return url
