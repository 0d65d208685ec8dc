"""How tests come in: an account with a key and a sign-in, put into a database as they are kept."""

from datetime import datetime
from typing import Final

from sqlmodel import select
from starlette.testclient import TestClient

from service.db import Database
from service.doors.accounts import folded
from service.doors.entrance import Entrance
from service.doors.passwords import Hasher
from service.doors.roles import Role, Scope
from service.doors.sessions import ABSOLUTE
from service.links import digest
from service.models import AccessKey, Account, SignIn
from service.web.known import token_of
from service.web.visitor import COOKIE, HEADER

MAKER: Final = "Tess Tamber"
KEY: Final = "a-key-of-the-tests"
SECRET: Final = "a-sign-in-of-the-tests"  # noqa: S105 - it opens the tests' shops alone
UNFIT: Final = "$argon2id$none"
"""What no password fits: the tests come in by other ways."""
BEARER: Final = {"Authorization": f"Bearer {KEY}"}
KNOWN: Final = {**BEARER, "Cookie": f"{COOKIE}={SECRET}"}
"""What opens the API and the pages."""


def cheap() -> Entrance:
    """An entrance whose passwords cost next to nothing: argon2id all the same."""
    return Entrance(hasher=Hasher(rounds=1, memory_kib=8, lanes=1))


def let_in(
    database: Database,
    now: datetime,
    name: str = MAKER,
    role: Role = Role.MAKER,
    mark: str = "",
) -> None:
    """Put an account into a database, with a key for all and a sign-in, unless it is there."""
    with database.writing() as session:
        if session.exec(select(Account).where(Account.key == folded(name))).first():
            return
        account = Account(name=name, key=folded(name), role=role.value, made_at=now)
        account.password = UNFIT
        session.add(account)
        session.flush()
        whose = account.id or 0
        session.add(
            AccessKey(
                account_id=whose,
                name="tests",
                scopes=[scope.value for scope in Scope],
                token_hash=digest(KEY + mark),
                made_at=now,
                used_at=now,
            )
        )
        session.add(
            SignIn(
                account_id=whose,
                token_hash=digest(SECRET + mark),
                made_at=now,
                seen_at=now,
                ends_at=now + ABSOLUTE,
            )
        )


def signed_in(client: TestClient, mark: str = "") -> TestClient:
    """Let a test client be a browser that is signed in, whose forms carry the token."""
    client.cookies.set(COOKIE, SECRET + mark)
    client.headers[HEADER] = token_of(SECRET + mark)
    client.headers["Origin"] = str(client.base_url)
    return client


def known(client: TestClient) -> TestClient:
    """Let a test client be both: what opens the API and the pages."""
    return signed_in(with_key(client))


def with_key(client: TestClient, mark: str = "") -> TestClient:
    """Let a test client be a program with a key."""
    client.headers["Authorization"] = f"Bearer {KEY}{mark}"
    return client
