"""Traces sent to an OpenTelemetry collector; loaded only where HOODWRIGHT_TRACE names one.

Statements go out as they are written in the code: what is put into them does not. The provider
is ours alone and not the process's: FastAPI would send the whole addresses of requests to that.
"""

from typing import Any, Final

from opentelemetry import trace
from opentelemetry.exporter.otlp.proto.http.trace_exporter import OTLPSpanExporter
from opentelemetry.sdk.resources import Resource
from opentelemetry.sdk.trace import TracerProvider
from opentelemetry.sdk.trace.export import BatchSpanProcessor
from opentelemetry.trace import SpanKind
from sqlalchemy import Engine, ExecutionContext, event

from service import VERSION

PROVIDER: Final = TracerProvider(
    resource=Resource.create({"service.name": "hoodwright", "service.version": VERSION})
)


def send_traces(collector: str, engine: Engine) -> TracerProvider:
    """Trace this process from now on; return what must be shut down at its end.

    Args:
        collector: the address of a collector, as in http://127.0.0.1:4318.
        engine: its statements are traced too.
    """
    exporter = OTLPSpanExporter(endpoint=f"{collector}/v1/traces")
    PROVIDER.add_span_processor(BatchSpanProcessor(exporter))
    _trace_statements(engine)
    return PROVIDER


def _trace_statements(engine: Engine) -> None:
    """Open a span around each statement; the instrumentation on offer knows no SQLAlchemy 2.1."""
    tracer, system = PROVIDER.get_tracer("hoodwright.database"), engine.dialect.name

    @event.listens_for(engine, "before_cursor_execute")
    def begin(_c: Any, _cursor: Any, statement: str, _p: Any, context: Any, _many: bool) -> None:  # noqa: ANN401, FBT001 - SQLAlchemy's form
        told = {"db.system.name": system, "db.query.text": statement}
        name = statement.split(maxsplit=1)[0].upper()
        context.hoodwright_span = tracer.start_span(name, kind=SpanKind.CLIENT, attributes=told)

    @event.listens_for(engine, "after_cursor_execute")
    def end(_c: Any, _cursor: Any, _s: str, _p: Any, context: ExecutionContext, _m: bool) -> None:  # noqa: ANN401, FBT001 - as above
        _finish(context, failed=False)

    @event.listens_for(engine, "handle_error")
    def fail(about: Any) -> None:  # noqa: ANN401 - as above
        if about.execution_context is not None:
            _finish(about.execution_context, failed=True)


def _finish(context: ExecutionContext, *, failed: bool) -> None:
    span = context.__dict__.pop("hoodwright_span", None)
    if span is None:
        return
    if failed:  # without the error's text, which may hold what was put into the statement
        span.set_status(trace.Status(trace.StatusCode.ERROR))
    span.end()
