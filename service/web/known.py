"""From a request's cookie or key to who it is."""

import hmac
from datetime import datetime
from hashlib import sha256

from fastapi import Request

from service.db import Database
from service.doors import keys, sessions
from service.doors.roles import Role, Scope
from service.links import digest
from service.web.visitor import COOKIE, SAFE_COOKIE, Visitor

_BEARER = "bearer "
_LONGEST = 200


def token_of(secret: str) -> str:
    """Return what every form of a sign-in carries; the sign-in's secret cannot be told from it."""
    return sha256(f"forms of {secret}".encode()).hexdigest()[:43]


def mark_of(account_id: int, kept: str, token: str) -> str:
    """Return what the forms of a sign-in say whose they are by.

    Args:
        account_id: of the account.
        kept: what is kept of its password: it tells nobody else, and outlasts the sign-in.
        token: of the sign-in.
    """
    return hmac.new(kept.encode(), f"{account_id} {token}".encode(), sha256).hexdigest()[:43]


def cookie_name(request: Request) -> str:
    """Return the name of the cookie: another one where all goes over TLS."""
    return SAFE_COOKIE if request.app.state.gate.secure else COOKIE


def secret_of(request: Request) -> str:
    """Return the secret of a sign-in that a request carries, or nothing."""
    return request.cookies.get(cookie_name(request), "")[:_LONGEST]


def sign_in_of(request: Request) -> str:
    """Return the digest by which the sign-in of a request is known."""
    return digest(secret_of(request))


def key_in(request: Request) -> str:
    """Return the key that a request carries, or nothing."""
    given = request.headers.get("authorization", "")
    return given[len(_BEARER) :].strip()[:_LONGEST] if given.lower().startswith(_BEARER) else ""


def who_signed_in(database: Database, secret: str, now: datetime) -> Visitor | None:
    """Return who has signed in with a secret, or None."""
    if not secret:
        return None
    with database.asking() as connection:
        found = sessions.signed_in(connection, secret, now)
    if found is None:
        return None
    if found.is_stale(now):
        with database.writing() as session:
            sessions.seen(session, found.id, now)
    token = token_of(secret)
    mark = mark_of(found.account_id, found.password, token)
    role = Role(found.role)
    return Visitor(
        found.account_id, found.name, role, found.id, token, mark, untold=bool(found.untold)
    )


def password_of(request: Request, now: datetime) -> str:
    """Return what is kept of the password of whoever has signed in; nothing for nobody."""
    database: Database = request.app.state.database
    with database.asking() as connection:
        found = sessions.signed_in(connection, secret_of(request), now)
    return found.password if found else ""


def who_has_key(database: Database, key: str, now: datetime) -> Visitor | None:
    """Return whose key it is, or None."""
    with database.asking() as connection:
        found = keys.key_of(connection, key)
    if found is None:
        return None
    if found.is_stale(now):
        with database.writing() as session:
            keys.used(session, found.id, now)
    scopes = frozenset(map(Scope, found.scopes))
    return Visitor(found.account_id, found.name, Role(found.role), found.id, scopes=scopes)


def who_is(request: Request, now: datetime, *, api: bool) -> Visitor | None:
    """Return who asks: by key on the API, else by cookie."""
    database: Database = request.app.state.database
    key = key_in(request) if api else ""
    if key:  # a wrong key is not helped by a cookie
        return who_has_key(database, key, now)
    return who_signed_in(database, secret_of(request), now)
