"""The pages over a database of their own: through a test client, and in a real browser."""

import socket
from collections.abc import Generator, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from shutil import copyfile
from threading import Thread
from time import monotonic, sleep

import pytest
import uvicorn
from playwright.sync_api import Browser, sync_playwright
from starlette.testclient import TestClient

from service.db import Database, open_database
from service.demo import fill_demo
from service.orders import Clock
from service.schema import upgrade
from service.web.application import create_app
from tests.entering import cheap, let_in, signed_in
from tests.pages.site import Site
from tests.patience import patience

__all__ = ["patience"]  # for every test here

NOW = datetime(2027, 3, 1, 9, 30, tzinfo=UTC)
CHROMIUM = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip


@pytest.fixture(scope="session")
def migrated(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file with the newest schema and nobody in it but who is signed in, to be copied."""
    path = tmp_path_factory.mktemp("schema") / "empty.sqlite"
    database = open_database(f"sqlite:///{path}")
    upgrade(database.engine)
    let_in(database, NOW)
    with database.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    database.close()
    return path


@pytest.fixture
def database(migrated: Path, tmp_path: Path) -> Iterator[Database]:
    """An empty database in a file."""
    copyfile(migrated, tmp_path / "pages.sqlite")
    opened = open_database(f"sqlite:///{tmp_path / 'pages.sqlite'}")
    yield opened
    opened.close()


@pytest.fixture
def demo(database: Database) -> Database:
    """The database filled with the demo shop."""
    with database.writing() as session:
        fill_demo(session, NOW)
    return database


@pytest.fixture
def site(database: Database) -> Site:
    """A visitor of the empty shop."""
    app = create_app(database, lambda: NOW, entrance=cheap())
    return Site(signed_in(TestClient(app, raise_server_exceptions=False)))


@pytest.fixture
def demo_site(demo: Database) -> Site:
    """A visitor of the demo shop."""
    app = create_app(demo, lambda: NOW, entrance=cheap())
    return Site(signed_in(TestClient(app, raise_server_exceptions=False)))


@contextmanager
def served(database: Database, clock: Clock) -> Generator[str]:
    """Serve the shop on a free port."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    app = create_app(database, clock, entrance=cheap())
    server = uvicorn.Server(uvicorn.Config(app, port=port, log_level="warning"))
    thread = Thread(target=server.run)
    thread.start()
    until = monotonic() + 20
    while not server.started and monotonic() < until:
        sleep(0.02)
    assert server.started
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(20)


@pytest.fixture
def address(demo: Database) -> Iterator[str]:
    """The demo shop served on a free port."""
    with served(demo, lambda: NOW) as at:
        yield at


@pytest.fixture
def lively(demo: Database) -> Iterator[str]:
    """The demo shop with a clock that runs, a minute in each second."""
    start = monotonic()
    with served(demo, lambda: NOW + timedelta(minutes=monotonic() - start)) as at:
        yield at


@pytest.fixture(scope="session")
def browser(chromium_path: str) -> Iterator[Browser]:
    """A headless Chromium."""
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=chromium_path, args=list(CHROMIUM))
        yield launched
        launched.close()
