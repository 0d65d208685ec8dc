"""Counts and traces: off unless set, true, and without a word about anybody."""

import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread
from typing import Any

import pytest
from opentelemetry.proto.collector.trace.v1.trace_service_pb2 import ExportTraceServiceRequest
from prometheus_client.parser import text_string_to_metric_families
from starlette.testclient import TestClient

from service.db import Database
from service.orders import utc_now
from service.settings import ServingSettings
from service.traces import send_traces
from service.web.application import create_app
from service.web.routes import template
from service.web.tracing import TracedRequests
from tests.entering import known, let_in, with_key
from tests.service.api import BUYER, Api, FixedClock, order_body
from tests.service.test_openapi import operations

TOKEN = "shown to the collector alone"  # noqa: S105 - an invented one
SHOWN = {"Authorization": f"Bearer {TOKEN}"}


@pytest.fixture
def counted(database: Database, clock: FixedClock) -> Api:
    serving = ServingSettings(metrics_token=TOKEN)
    return Api(known(TestClient(create_app(database, clock, serving=serving))))


def samples(api: Api) -> dict[tuple[str, tuple[str, ...]], float]:
    answer = api.client.get("/metrics", headers=SHOWN)
    assert answer.status_code == 200
    return {
        (one.name, tuple(one.labels.values())): one.value
        for family in text_string_to_metric_families(answer.text)
        for one in family.samples
    }


def test_there_are_no_counts_unless_a_token_is_set(api: Api) -> None:
    assert api.client.get("/metrics").status_code == 404
    assert api.client.get("/metrics", headers=SHOWN).status_code == 404


@pytest.mark.parametrize("shown", ["", "Bearer ", f"Bearer {TOKEN}s", f"Basic {TOKEN}", TOKEN])
def test_they_are_shown_to_none_but_who_has_the_token(counted: Api, shown: str) -> None:
    assert counted.client.get("/metrics").status_code == 401
    answer = counted.client.get("/metrics", headers={"Authorization": shown})
    assert answer.status_code == 401
    assert "hoodwright" not in answer.text


def test_requests_plans_orders_and_mails_are_counted(counted: Api) -> None:
    before = samples(counted)
    number = counted.taken()["number"]
    for _ in range(3):
        counted.client.get(f"/orders/{number}")
    counted.client.get("/no/such/address")
    counted.client.request("BREW", "/orders")
    after = samples(counted)

    def more(name: str, *labels: str) -> float:
        return after.get((name, labels), 0) - before.get((name, labels), 0)

    assert more("hoodwright_requests_total", "POST", "/api/v1/orders", "201") == 1
    assert more("hoodwright_requests_total", "GET", "/orders/{number}", "200") == 3
    assert more("hoodwright_requests_total", "GET", "none", "404") == 1
    assert more("hoodwright_requests_total", "other", "/orders", "405") == 1
    assert more("hoodwright_request_seconds_count", "GET", "/orders/{number}") == 3
    assert more("hoodwright_plan_seconds_count") >= 1
    assert after["hoodwright_orders", ("enquiry",)] == 1
    assert after["hoodwright_deliveries", ("waiting",)] == 0
    assert after["hoodwright_requests_now", ()] == 1  # the one that asks


def jobs_in(now: dict[tuple[str, tuple[str, ...]], float]) -> float:
    """The jobs of all states; tests before may have left some."""
    return sum(value for (name, _), value in now.items() if name == "hoodwright_jobs")


def test_a_mail_that_is_due_is_counted_with_its_wait(counted: Api, clock: FixedClock) -> None:
    counted.shop({"email": "wrack@hoods.example"})
    number = counted.taken()["number"]
    before = jobs_in(samples(counted))
    assert counted.post(f"/orders/{number}/deliveries", {"kind": "care"}).status_code == 201
    clock.now += timedelta(minutes=5)
    now = samples(counted)

    assert now["hoodwright_deliveries", ("waiting",)] == 1
    assert now["hoodwright_mails_due", ()] == 1
    assert now["hoodwright_mails_due_seconds", ()] == 300
    app: Any = counted.client.app
    queues = app.state.database.engine.dialect.name == "postgresql"
    assert jobs_in(now) - before == int(queues)


def test_the_counts_name_nobody(counted: Api) -> None:
    order = counted.taken()
    link = counted.post(f"/orders/{order['number']}/owner-links", {}).json()
    path = link["address"].removeprefix("http://testserver")
    assert counted.client.get(path).status_code == 200
    text = counted.client.get("/metrics", headers=SHOWN).text

    secret = path.rpartition("/")[2]
    for word in (order["number"], secret, *BUYER["name"].split(), BUYER["email"], "Bramble"):
        assert word not in text


def test_every_route_is_told_by_its_whole_template(sqlite_database: Database) -> None:
    app = create_app(sqlite_database)
    told: list[str] = []

    @app.middleware("http")
    async def tell(request, call_next):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN202
        answer = await call_next(request)
        told.append(template(request.scope))
        return answer

    let_in(sqlite_database, utc_now())
    client = known(TestClient(app, raise_server_exceptions=False))
    expected = []
    for operation in operations(app.openapi()):
        client.request(operation.method, re.sub(r"\{[a-z_]+\}", "1", operation.path))
        expected.append(operation.path)

    assert told == expected


class Collector:
    """An OTLP collector over HTTP that keeps what it is sent."""

    def __init__(self) -> None:
        self.spans: list[tuple[str, dict[str, str]]] = []

    def take(self, body: bytes) -> None:
        sent = ExportTraceServiceRequest.FromString(body)
        for resource in sent.resource_spans:
            for scope in resource.scope_spans:
                for span in scope.spans:
                    told = {one.key: str(one.value) for one in span.attributes}
                    self.spans.append((span.name, told))


@contextmanager
def collecting() -> Iterator[tuple[Collector, str]]:
    kept = Collector()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            kept.take(self.rfile.read(int(self.headers["Content-Length"])))
            self.send_response(200)
            self.send_header("Content-Length", "0")
            self.end_headers()

        def log_message(self, *_: object) -> None:
            pass

    with ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        yield kept, f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


def test_a_request_and_its_statements_come_to_the_collector_and_tell_of_nobody(
    postgresql_database: Database, clock: FixedClock
) -> None:
    database = postgresql_database  # one only: a process can be traced to one collector
    with collecting() as (kept, address):
        provider = send_traces(address, database.engine)
        app = create_app(database, clock)
        app.add_middleware(TracedRequests)
        let_in(database, clock())
        api = Api(with_key(TestClient(app)))
        number = api.taken(order_body())["number"]
        link = api.post(f"/orders/{number}/owner-links", {}).json()
        path = link["address"].removeprefix("http://testserver")
        api.client.get(path)
        provider.shutdown()

    names = [name for name, _ in kept.spans]
    whole = str(kept.spans)
    assert "POST /api/v1/orders" in names
    assert "INSERT INTO hood_order" in whole
    for word in (number, path.rpartition("/")[2], *BUYER["name"].split(), BUYER["email"]):
        assert word not in whole


def test_a_server_that_does_not_trace_loads_nothing_for_it() -> None:
    said = "import sys, service.console; print('opentelemetry.sdk' in sys.modules)"
    done = subprocess.run(  # noqa: S603 - our own program
        [sys.executable, "-c", said], capture_output=True, text=True, timeout=120, check=True
    )

    assert done.stdout.strip() == "False"
