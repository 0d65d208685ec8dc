"""The floor: a bare FastAPI application that reads the same bodies and answers what is stored.

`POST /checks` and `/plans` validate the body and return a stored answer of the same type.
`POST /orders` also inserts as many bytes as an order is kept in, with SQLAlchemy Core, the same
durability and the same one lock for writers. The reads select as many bytes as they answer.

`keyed`, it also looks each request's key up, by one Core select in a dependency: what knowing who
asks costs at least.
"""

from collections.abc import Callable
from typing import Annotated

from fastapi import Depends, FastAPI, Header, HTTPException, Response
from sqlalchemy import Column, Integer, LargeBinary, MetaData, String, Table, insert, select

from service.bodies import ChecksIn, OrderIn, PlanIn
from service.db import Database
from service.links import digest
from service.orderout import OrderOut
from service.planbodies import PlanOut
from service.web.api.plans import ChecksOut
from tests.entering import KEY

KEPT = MetaData()
ORDER = Table(
    "bare_order", KEPT, Column("id", Integer, primary_key=True), Column("kept", LargeBinary)
)
LINE = Table(
    "bare_line", KEPT, Column("id", Integer, primary_key=True), Column("kept", LargeBinary)
)
KNOWN = Table("bare_key", KEPT, Column("digest", String(64), primary_key=True))
LINES = 50


class Stored:
    """The answers, taken from the shop, and how many bytes an order is kept in."""

    def __init__(
        self, checks: bytes, plans: bytes, order: bytes, listed: bytes, kept: int
    ) -> None:
        """Read the answers back into what an endpoint returns."""
        self.checks = ChecksOut.model_validate_json(checks)
        self.plans = PlanOut.model_validate_json(plans)
        self.order = OrderOut.model_validate_json(order)
        self.order_bytes = order
        self.listed = listed
        self.kept = bytes(kept)


def _keyed(database: Database) -> Callable[[str], None]:
    """Return a dependency that refuses whoever has no key."""

    def known(authorization: Annotated[str, Header()]) -> None:
        given = digest(authorization.removeprefix("Bearer "))
        with database.asking() as connection:
            if (
                connection.execute(select(KNOWN.c.digest).where(KNOWN.c.digest == given)).first()
                is None
            ):
                raise HTTPException(401)

    return known


def bare_app(database: Database, stored: Stored, *, keyed: bool = False) -> FastAPI:
    """Return the bare application over a database of its own."""
    KEPT.create_all(database.engine)
    with database.writing() as session:
        session.execute(insert(ORDER), {"kept": stored.order_bytes})
        step = -(-len(stored.listed) // LINES)
        lines = [stored.listed[at : at + step] for at in range(0, len(stored.listed), step)]
        session.execute(insert(LINE), [{"kept": line} for line in lines])
        session.execute(insert(KNOWN), {"digest": digest(KEY)})
    app = FastAPI(dependencies=[Depends(_keyed(database))] if keyed else [])

    @app.post("/api/v1/checks")
    def check(asked: ChecksIn) -> ChecksOut:
        del asked
        return stored.checks

    @app.post("/api/v1/plans")
    def plan(asked: PlanIn) -> PlanOut:
        del asked
        return stored.plans

    @app.post("/api/v1/orders", status_code=201)
    def take(asked: OrderIn) -> OrderOut:
        del asked
        with database.writing() as session:
            session.execute(insert(ORDER), {"kept": stored.kept})
        return stored.order

    @app.get("/api/v1/orders/{number}")
    def show(number: int) -> Response:
        with database.reading() as session:
            row = session.execute(select(ORDER.c.kept).where(ORDER.c.id == number)).one()
        return Response(row.kept, media_type="application/json")

    @app.get("/api/v1/orders")
    def list_them() -> Response:
        with database.reading() as session:
            rows = session.execute(select(LINE.c.kept).order_by(LINE.c.id).limit(LINES))
            return Response(b"".join(row.kept for row in rows), media_type="application/json")

    return app
