"""The application put together: routes, errors, database and clock."""

from collections.abc import AsyncGenerator
from contextlib import asynccontextmanager
from pathlib import Path

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles

from service import VERSION
from service.db import Database
from service.orders import Clock, utc_now
from service.owner.limits import Door
from service.web import api, pages, problems

ABOUT = "Orders, sizing, patterns and papers for made-to-measure crocheted dog hoods."


def create_app(database: Database, clock: Clock = utc_now, address: str = "") -> FastAPI:
    """Return the application over a database that has the newest schema.

    Args:
        database: closed when the application stops.
        clock: returns this moment in UTC; tests give their own.
        address: where those outside reach the application, without a slash at the end; empty
            where it is the address that the maker uses.
    """

    @asynccontextmanager
    async def life(_app: FastAPI) -> AsyncGenerator[None]:
        yield
        database.close()

    app = FastAPI(title="Hoodwright", version=VERSION, summary=ABOUT, lifespan=life)
    app.state.database = database
    app.state.clock = clock
    app.state.address = address
    app.state.door = Door()
    problems.register(app)
    pages.register(app)
    app.include_router(api.router)
    app.include_router(pages.router)
    static = Path(__file__).parent / "static"
    app.mount("/static", StaticFiles(directory=static), name="static")
    return app
