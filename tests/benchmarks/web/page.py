"""The page of an order beside the bare rendering of the same page from ready data.

    python3 -m tests.benchmarks.web.page [rounds, 60]

What the page hands to its template is caught once; the floor renders the template with that and
encodes it. Time is the processor's, in one process: the whole request through the application,
the sign-in with it, less nothing; at the first look, with nothing kept, and at the next ones.
"""

import asyncio
import sys
import time
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any

from fastapi import FastAPI
from jinja2 import Template
from starlette.types import Message

from service.bodies import OrderIn
from service.db import open_database
from service.orders import take_order, utc_now
from service.schema import upgrade
from service.web.application import create_app
from tests.entering import KNOWN, cheap, let_in
from tests.service.api import SWATCH, order_body

GOAL = 2.0
OK = 200
Values = tuple[Template, dict[str, Any]]


async def seconds(work: Callable[[], Awaitable[object]], rounds: int) -> float:
    """Return the median of the processor's seconds; as in a server, one loop runs them all."""
    taken = []
    for _ in range(rounds):
        begun = time.process_time()
        await work()
        taken.append(time.process_time() - begun)
    return median(taken)


@contextmanager
def catching(caught: list[Values]) -> Iterator[None]:
    """Note what is handed to each template that is rendered."""
    real = Template.render

    def render(self: Template, *args: Any, **values: Any) -> str:  # noqa: ANN401 - as it is there
        caught.append((self, values))
        return real(self, *args, **values)

    Template.render = render  # type: ignore[method-assign]
    try:
        yield
    finally:
        Template.render = real  # type: ignore[method-assign]


async def answer(app: FastAPI, path: str) -> bytes:
    """Return what the application answers, asked without a client and a server between."""
    sent: list[Message] = []

    async def send(message: Message) -> None:
        sent.append(message)

    async def receive() -> Message:
        return {"type": "http.request", "body": b"", "more_body": False}

    headers = [(name.lower().encode(), value.encode()) for name, value in KNOWN.items()]
    scope = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": "GET",
        "scheme": "http", "path": path, "raw_path": path.encode(), "query_string": b"",
        "root_path": "", "headers": [(b"host", b"127.0.0.1"), *headers],
        "client": ("127.0.0.1", 1), "server": ("127.0.0.1", 80), "app": app, "state": {},
    }  # fmt: skip
    await app(scope, receive, send)
    if sent[0]["status"] != OK:
        raise SystemExit(f"the page answered {sent[0]['status']}")
    return b"".join(message.get("body", b"") for message in sent)


def main(rounds: int = 60) -> None:
    """Print both times and their ratio."""
    with TemporaryDirectory() as place, asyncio.Runner() as runner:
        database = open_database(f"sqlite:///{place}/shop.sqlite")
        upgrade(database.engine)
        let_in(database, utc_now())
        app = create_app(database, entrance=cheap())
        with database.writing() as session:
            asked = OrderIn.model_validate(order_body(swatch=SWATCH))
            number = take_order(session, asked, utc_now()).number
        path = f"/orders/{number}"
        caught: list[Values] = []
        with catching(caught):
            page = runner.run(answer(app, path))
        template, values = caught[-1]

        async def rendering() -> bytes:
            return template.render(**values).encode()

        async def first() -> bytes:
            app.state.kept.forget()
            return await answer(app, path)

        floor = runner.run(seconds(rendering, rounds))
        times = {"first look": runner.run(seconds(first, rounds))}
        times["next look"] = runner.run(seconds(lambda: answer(app, path), rounds))
        database.close()
    print(
        f"order page: {len(page) / 1000:.0f} kB, rendering {floor * 1000:.2f} ms; whole request:"
    )
    for look, ours in times.items():
        print(f"  {look} {ours * 1000:.2f} ms, ratio {ours / floor:.2f} (goal {GOAL})")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
