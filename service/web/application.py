"""The application put together: routes, errors, database and clock."""

from collections.abc import AsyncGenerator
from contextlib import asynccontextmanager
from pathlib import Path

from fastapi import FastAPI
from fastapi.concurrency import run_in_threadpool

from service import VERSION
from service.db import Database
from service.doors.entrance import Entrance
from service.errands import Errands
from service.keeping.check import url_of
from service.keeping.keeper import Keeper
from service.keeping.ready import Readiness
from service.orders import Clock, utc_now
from service.owner.limits import Door
from service.persons.forgetter import Forgetter
from service.sending.worker import Worker
from service.settings import MailSettings, ServingSettings
from service.web import api, described, health, metering, pages, problems
from service.web.answers import Answers
from service.web.files import answer_own
from service.web.gate.fence import Fence
from service.web.gate.guard import Guard
from service.web.kept import KeptPages
from service.web.parts import take_in

NO_MAIL_SERVER = MailSettings()
ALONE = ServingSettings()
ABOUT = "Orders, sizing, patterns and papers for made-to-measure crocheted dog hoods."


def create_app(
    database: Database,
    clock: Clock = utc_now,
    mail: MailSettings = NO_MAIL_SERVER,
    *,
    sends: bool = False,
    copies: Path | None = None,
    forgets: bool = False,
    entrance: Entrance | None = None,
    serving: ServingSettings = ALONE,
) -> FastAPI:
    """Return the application over a database that has the newest schema.

    Args:
        database: closed when the application stops.
        clock: returns this moment in UTC; tests give their own.
        mail: how mail leaves.
        sends: whether a thread of the application sends it; workers of their own do otherwise.
        copies: a folder for a copy of the database each day; None for none.
        forgets: whether buyers are erased each day that the shop's setting lets go.
        entrance: how people come in; None for how it is done on one machine.
        serving: how this server runs beside others.
    """
    errands = Errands(database, clock)

    @asynccontextmanager
    async def life(_app: FastAPI) -> AsyncGenerator[None]:
        worker = Worker(database, mail, clock) if sends else None
        keeper = Keeper(url_of(database.engine), copies, clock) if copies else None
        forgetter = Forgetter(database, mail.folder, clock) if forgets else None
        if worker:
            worker.start()
        if forgetter:
            forgetter.start()
        if keeper:
            keeper.start()
        yield
        if keeper:
            await run_in_threadpool(keeper.stop)
        if forgetter:
            await run_in_threadpool(forgetter.stop)
        if worker:
            await run_in_threadpool(worker.stop)
        await run_in_threadpool(errands.stop)
        database.close()

    app = FastAPI(
        title="Hoodwright",
        version=VERSION,
        summary=ABOUT,
        lifespan=life,
        docs_url=None,  # its page fetches from other hosts; ours is among the pages
        redoc_url=None,
        openapi_url=None,  # ours is in `described`: it is worked out while the pages go on
        # Its own tells whole addresses, some of which are secret; ours is in `tracing`.
        telemetry={"tracing": False, "metrics": False, "logs": False},
    )
    app.state.database = database
    app.state.clock = clock
    app.state.mail = mail
    app.state.answers = Answers()
    app.state.kept = KeptPages()
    app.state.gate = entrance or Entrance()
    app.state.door = Door(key=serving.form_key.encode()) if serving.form_key else Door()
    app.state.serving = serving
    app.state.readiness = Readiness(url_of(database.engine))
    app.state.errands = errands
    app.state.described = described.Description(app)
    problems.register(app)
    pages.register(app)
    take_in(app, [health, described])
    app.add_middleware(Guard)  # inside of what counts: what it refuses is counted too
    if serving.metrics_token:
        metering.register(app, database, clock)
    if serving.trace:
        # Here: the packages are there only where somebody wants traces.
        from service.web import tracing  # noqa: PLC0415

        tracing.register(app)
    take_in(app, [*api.PARTS, *pages.PARTS])
    app.add_middleware(Fence)  # the last one added is the outermost
    app.mount("/static", answer_own, name="static")
    return app
