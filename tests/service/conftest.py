"""The application over both databases, each migrated once and emptied before every test."""

from collections.abc import Iterator

import pytest
from httpx2 import Response
from sqlalchemy import text
from sqlmodel import SQLModel, select
from starlette.testclient import TestClient

from service.db import Database, open_database
from service.doors import accounts, codes
from service.doors.roles import Purpose
from service.models import SignIn
from service.schema import upgrade
from service.sending.queue import prepare
from service.web.answers import Answers
from service.web.application import create_app
from tests.entering import cheap, known, let_in
from tests.patience import patience
from tests.service.api import Api, FixedClock
from tests.service.schemas import in_schema

__all__ = ["patience"]  # for every test here

PASSWORD = "seven kettles under moss"  # noqa: S105 - of a shop of the tests
OTHER = "nine lanterns over gravel"


def empty(database: Database) -> None:
    """Delete all rows of all tables."""
    with database.writing() as session:
        for table in reversed(SQLModel.metadata.sorted_tables):
            session.execute(table.delete())


@pytest.fixture(scope="session")
def sqlite_database(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    """A database in a file, with the newest schema."""
    path = tmp_path_factory.mktemp("embedded") / "hoodwright.sqlite"
    database = open_database(f"sqlite:///{path}")
    upgrade(database.engine)
    yield database
    database.close()


@pytest.fixture(scope="session")
def postgresql_database(postgres_url: str) -> Iterator[Database]:
    """A schema of its own on the database server, with the newest tables."""
    with in_schema(postgres_url, "service_tests") as url:
        database = open_database(url)
        upgrade(database.engine)
        prepare(database.engine)
        yield database
        database.close()


@pytest.fixture(params=["sqlite", "postgresql"])
def database(request: pytest.FixtureRequest) -> Database:
    """Each database in turn, empty."""
    found: Database = request.getfixturevalue(f"{request.param}_database")
    empty(found)
    let_in(found, FixedClock.now)
    return found


@pytest.fixture(scope="session")
def only_clock() -> FixedClock:
    """The one clock of all tests."""
    return FixedClock()


@pytest.fixture(autouse=True)
def clock(only_clock: FixedClock) -> FixedClock:
    """A clock that stands still until a test moves it."""
    only_clock.now = FixedClock.now
    return only_clock


@pytest.fixture(scope="session")
def sqlite_client(sqlite_database: Database, only_clock: FixedClock) -> Iterator[TestClient]:
    """The whole application over the embedded database, started once: that is slow."""
    app = create_app(sqlite_database, only_clock, entrance=cheap())
    with known(TestClient(app, raise_server_exceptions=False)) as one:
        yield one


@pytest.fixture(scope="session")
def postgresql_client(
    postgresql_database: Database, only_clock: FixedClock
) -> Iterator[TestClient]:
    """The whole application over the database server."""
    app = create_app(postgresql_database, only_clock, entrance=cheap())
    with known(TestClient(app, raise_server_exceptions=False)) as one:
        yield one


@pytest.fixture
def api(request: pytest.FixtureRequest, database: Database) -> Api:
    """The API of the whole application; what it answers to a fault is an answer too."""
    client = request.getfixturevalue(f"{database.engine.dialect.name}_client")
    # The clock stands still and ids begin anew: no answer of another test may be taken for ours.
    client.app.state.answers = Answers()
    return Api(client)


@pytest.fixture
def sqlite_api(sqlite_client: TestClient, sqlite_database: Database) -> Api:
    """The API over the embedded database alone, for what keeps nothing."""
    let_in(sqlite_database, FixedClock.now)
    return Api(sqlite_client)


@pytest.fixture
def deferred_failure(database: Database) -> Iterator["FailingCommit"]:
    """A way to make every commit after a change of one table fail, for real."""
    failing = FailingCommit(database)
    yield failing
    failing.undo()


class FailingCommit:
    """A deferred foreign key to nowhere: the statement passes, the COMMIT is refused."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._table = ""

    def _run(self, *statements: str) -> None:
        with self._database.writing() as session:
            for statement in statements:
                session.execute(text(statement))

    def after_change_of(self, table: str) -> None:
        """Let commits fail from now on."""
        self._table = table
        self._run(
            "CREATE TABLE nowhere (id INTEGER PRIMARY KEY)",
            "CREATE TABLE dangling"
            " (ref INTEGER REFERENCES nowhere (id) DEFERRABLE INITIALLY DEFERRED)",
        )
        insert = "INSERT INTO dangling VALUES (1);"
        if self._database.engine.dialect.name == "sqlite":
            self._run(f"CREATE TRIGGER dangle AFTER INSERT ON {table} BEGIN {insert} END")
            return
        self._run(
            "CREATE FUNCTION dangle() RETURNS trigger LANGUAGE plpgsql AS"
            f" $$ BEGIN {insert} RETURN NULL; END $$",
            f"CREATE TRIGGER dangle AFTER INSERT ON {table} EXECUTE FUNCTION dangle()",
        )

    def undo(self) -> None:
        """Let commits pass again."""
        if not self._table:
            return
        if self._database.engine.dialect.name == "sqlite":
            self._run("DROP TRIGGER dangle")
        else:
            self._run(f"DROP TRIGGER dangle ON {self._table}", "DROP FUNCTION dangle")
        self._run("DROP TABLE dangling", "DROP TABLE nowhere")
        self._table = ""


class Door:
    """A shop that nobody is known in yet, and browsers before it."""

    def __init__(self, app_of: Api, database: Database, clock: FixedClock) -> None:
        self.app = app_of.client.app
        self.app.state.gate = cheap()  # type: ignore[attr-defined]  # no tries of other tests
        self.database = database
        self.clock = clock
        empty(database)

    def browser(self) -> TestClient:
        return TestClient(self.app, raise_server_exceptions=False)

    def code(self, purpose: Purpose = Purpose.FIRST, name: str = "") -> str:
        with self.database.writing() as session:
            account = accounts.account_named(session, name) if name else None
            return codes.new_code(session, purpose, self.clock(), account)

    def made(self, name: str = "Odile") -> TestClient:
        """Make the first account; return the browser that is signed in by it."""
        browser = self.browser()
        sent = {"code": self.code(), "name": name, "password": PASSWORD}
        answer = browser.post("/sign-in", data=sent, follow_redirects=False)
        assert answer.status_code == 303, answer.text
        return browser

    def knock(self, name: str, password: str, **more: str) -> Response:
        sent = {"name": name, "password": password, **more}
        return self.browser().post("/sign-in", data=sent, follow_redirects=False)

    def rows(self) -> int:
        with self.database.reading() as session:
            return len(session.exec(select(SignIn)).all())


@pytest.fixture
def door(api: Api, database: Database, clock: FixedClock) -> Door:
    """A shop that nobody is known in yet."""
    return Door(api, database, clock)


@pytest.fixture
def maker(door: Door) -> TestClient:
    """A browser of whoever made the first account, signed in."""
    return door.made()
