"""A span for each request, named by its route and telling nothing else of its address.

The spans that FastAPI and OpenTelemetry offer hold whole addresses, and those of owners' links
are secret; so the requests have this one of ours. Only loaded where traces go
somewhere.
"""

from fastapi import FastAPI
from opentelemetry.trace import SpanKind, Status, StatusCode
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.traces import PROVIDER
from service.web.routes import template

FAULTS = 500


class TracedRequests:
    """Opens a span around each request."""

    def __init__(self, app: ASGIApp) -> None:
        """Stand before an application."""
        self._app = app
        self._tracer = PROVIDER.get_tracer("hoodwright")

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on within a span."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        method = str(scope["method"])[:10]
        with self._tracer.start_as_current_span(method, kind=SpanKind.SERVER) as span:

            async def noted(message: Message) -> None:
                if message["type"] == "http.response.start":
                    span.set_attribute("http.response.status_code", message["status"])
                    if message["status"] >= FAULTS:
                        span.set_status(Status(StatusCode.ERROR))
                await send(message)

            try:
                await self._app(scope, receive, noted)
            finally:
                span.update_name(f"{method} {template(scope)}")
                span.set_attribute("http.request.method", method)
                span.set_attribute("http.route", template(scope))


def register(app: FastAPI) -> None:
    """Trace the application's requests."""
    app.add_middleware(TracedRequests)
