"""The page of an order beside the bare rendering of the same page from ready data.

    python3 -m tests.benchmarks.web.page [rounds, 60]

What the page hands to its template is caught once; the floor renders the template with that and
encodes it. Time is the processor's, in one process: the whole request through the application,
the sign-in with it, less nothing.
"""

import sys
import time
from collections.abc import Callable
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any

from jinja2 import Template
from starlette.testclient import TestClient

from service.db import open_database
from service.orders import utc_now
from service.schema import upgrade
from service.web.application import create_app
from tests.entering import cheap, known, let_in
from tests.service.api import SWATCH, order_body

GOAL = 2.0


def seconds(work: Callable[[], object], rounds: int) -> float:
    """Return the median of the processor's seconds."""
    taken = []
    for _ in range(rounds):
        begun = time.process_time()
        work()
        taken.append(time.process_time() - begun)
    return median(taken)


def main(rounds: int = 60) -> None:
    """Print both times and their ratio."""
    with TemporaryDirectory() as place:
        database = open_database(f"sqlite:///{place}/shop.sqlite")
        upgrade(database.engine)
        let_in(database, utc_now())
        with known(TestClient(create_app(database, entrance=cheap()))) as client:
            taken = client.post("/api/v1/orders", json=order_body(swatch=SWATCH))
            path = f"/orders/{taken.json()['number']}"
            caught: list[tuple[Template, tuple[Any, ...], dict[str, Any]]] = []
            real = Template.render

            def catching(template: Template, *args: Any, **values: Any) -> str:  # noqa: ANN401
                caught.append((template, args, values))
                return real(template, *args, **values)

            Template.render = catching  # type: ignore[method-assign]
            page = client.get(path)
            Template.render = real  # type: ignore[method-assign]
            if page.status_code != 200:
                raise SystemExit(f"the page answered {page.status_code}")
            template, args, values = caught[-1]
            floor = seconds(lambda: real(template, *args, **values).encode(), rounds)
            ours = seconds(lambda: client.get(path), rounds)
    print(
        f"order page: {len(page.content) / 1000:.0f} kB, rendering {floor * 1000:.2f} ms, whole"
        f" request {ours * 1000:.2f} ms, ratio {ours / floor:.2f} (goal {GOAL})"
    )


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
