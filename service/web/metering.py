"""/metrics: what a server counts of itself, for whoever shows the token; off without one.

A token, and not the address of whoever asks: behind a proxy on the same machine all come from
there.
"""

import hmac
from time import perf_counter
from typing import Annotated

from fastapi import FastAPI, Header, HTTPException, Request, Response
from fastapi.concurrency import run_in_threadpool
from prometheus_client import (
    CONTENT_TYPE_LATEST,
    CollectorRegistry,
    Counter,
    Gauge,
    Histogram,
    ProcessCollector,
    generate_latest,
)
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.db import Database
from service.meters import PLANNING
from service.orders import Clock
from service.standing import Standing
from service.web.parts import page_part
from service.web.routes import template

router = page_part()
SECONDS = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30)


class Meters:
    """The counts of one application."""

    def __init__(self, database: Database, clock: Clock) -> None:
        """Begin to count."""
        self.registry = CollectorRegistry()
        labels = ["method", "route"]
        self.requests = Counter(
            "hoodwright_requests", "Requests.", [*labels, "status"], registry=self.registry
        )
        self.seconds = Histogram(
            "hoodwright_request_seconds", "How long a request took.", labels,
            registry=self.registry, buckets=SECONDS,
        )  # fmt: skip
        self.now = Gauge(
            "hoodwright_requests_now", "Requests being answered.", registry=self.registry
        )
        self.registry.register(PLANNING)
        self.registry.register(Standing(database, clock))
        ProcessCollector(registry=self.registry)


class CountingRequests:
    """Counts each request under the template of its route, never under its address."""

    def __init__(self, app: ASGIApp, meters: Meters) -> None:
        """Stand before an application."""
        self._app, self._meters = app, meters

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, and count it when it is answered."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        status, begun = 500, perf_counter()

        async def noted(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
            await send(message)

        with self._meters.now.track_inprogress():
            try:
                await self._app(scope, receive, noted)
            finally:
                names = (_method(scope), template(scope))
                self._meters.requests.labels(*names, status).inc()
                self._meters.seconds.labels(*names).observe(perf_counter() - begun)


def _method(scope: Scope) -> str:
    """Return the method, or one word for all that are none: a stranger can send any."""
    method = str(scope["method"])
    return method if method in {"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE"} else "other"


@router.get("/metrics")
async def counts(
    request: Request, authorization: Annotated[str, Header(max_length=500)] = ""
) -> Response:
    """Show the counts to whoever shows the token."""
    token = f"Bearer {request.app.state.serving.metrics_token}"
    if not hmac.compare_digest(authorization.encode(), token.encode()):
        raise HTTPException(401, "Show the token.", {"WWW-Authenticate": "Bearer"})
    meters: Meters = request.app.state.meters
    text = await run_in_threadpool(generate_latest, meters.registry)
    return Response(text, media_type=CONTENT_TYPE_LATEST)


def register(app: FastAPI, database: Database, clock: Clock) -> None:
    """Count the application's requests, and show the counts."""
    app.state.meters = Meters(database, clock)
    app.add_middleware(CountingRequests, meters=app.state.meters)
    app.router.routes.extend(router.routes)
