"""What the nastiest requests of the allowed size cost: python -m tests.benchmarks.web.nasty

Every text of every body that the description gives as an example, and every form of the pages, is
filled with long runs of digits, fractions, spaces, marks, separators; besides, bodies that are
deep, wide, or of many fields. Each is sent at a size and at twice that size. The table has the
worst by the processor's time; what more than doubles is marked, for that is where a request could
be made to hold everybody up. What is long by its nature (a plan, a paper, a file brought in) is
told apart. Times are also told in turns of a loop, so that they can be held against another
machine's.
"""

import argparse
import json
import re
import tempfile
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path
from random import Random
from time import monotonic, process_time
from typing import Any, Final
from urllib.parse import urlencode

from starlette.testclient import TestClient

from service.db import open_database
from service.schema import upgrade
from service.web.application import create_app
from tests.entering import cheap, known
from tests.pages.reading import Page
from tests.service.api import FixedClock
from tests.service.stocked import Stocked

SIZES: Final = (100, 1_000, 5_000, 200_000)
"""Characters; sent so long and twice as long. The longest is past what a text may be, and fits."""
TEXTS: Final = {
    "digits": "9",
    "fractions": "1/2 ",
    "spaces": " ",
    "marks on letters": "e\u0301",
    "separators": ",;",
    "units": "1 ft 2 in ",
    "addresses": "a@b.",
    "brackets": "{{<",
}
MOST_MS: Final = 50.0
MORE_THAN_DOUBLED: Final = 2.6
PAGES: Final = (
    "/orders/new", "/orders/2026-0001", "/orders/2026-0004/edit", "/orders/2026-0001/in-hand",
    "/orders/2026-0006/papers", "/yarns", "/yarns/1", "/shop", "/mails/care", "/queue", "/account",
    "/accounts", "/ask", "/bring-in", "/orders?q=pip", "/buyers",
)  # fmt: skip
LONG: Final = re.compile(r"plans|stock-sizes|trials|orders|in-hand|follow|bring-in|papers|deliver")
"""Addresses whose work is long by its nature once they are understood: most draw or plan."""


@dataclass(frozen=True)
class Nasty:
    """A request that can be made of any size."""

    name: str
    method: str
    path: str
    body: Any
    place: tuple[Any, ...]
    text: str
    form: bool = False
    tag: str = ""

    def content(self, size: int) -> bytes:
        """Return its body at a size."""
        text = (self.text * size)[:size]
        if self.form:
            return urlencode(
                {key: text if key in self.place else v for key, v in self.body}
            ).encode()
        if not self.place:
            return shaped(self.text, size)
        body = deepcopy(self.body)
        at = body
        for step in self.place[:-1]:
            at = at[step]
        at[self.place[-1]] = text
        return json.dumps(body).encode()


def shaped(kind: str, size: int) -> bytes:
    """Return a body of an odd shape."""
    if kind == "deep":
        return b"[" * (size // 2) + b"]" * (size // 2)
    if kind == "deep members":
        return b'{"a":' * (size // 6) + b"1" + b"}" * (size // 6)
    if kind == "wide":
        return json.dumps({f"f{number}": 1 for number in range(size // 10)}).encode()
    return b"9" * size


def leaves(body: object, place: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the places of all texts in a body."""
    if isinstance(body, dict):
        for name, value in body.items():
            yield from leaves(value, (*place, name))
    elif isinstance(body, list):
        for index, value in enumerate(body[:1]):
            yield from leaves(value, (*place, index))
    elif isinstance(body, str):
        yield place


def of_the_api(stocked: Stocked) -> Iterator[Nasty]:
    """Yield requests with every text of every example."""
    for path, routes in stocked.app.openapi()["paths"].items():
        _, rows = stocked.real(path)
        filled = re.sub(r"\{kind\}", "care", path)
        for value in rows[0] if rows else ():
            filled = re.sub(r"\{\w+\}", str(value), filled, count=1)
        filled = re.sub(r"\{\w+\}", "1", filled)
        for method, told in routes.items():
            content = told.get("requestBody", {}).get("content", {}).get("application/json")
            if not content:
                continue
            line, tag = f"{method.upper()} {path}", stocked.tag(filled, {})
            for shape in ("deep", "deep members", "wide", "a number"):
                yield Nasty(f"{line}: {shape}", method, filled, None, (), shape, tag=tag)
            for example in list(content.get("examples", {}).values())[:1]:
                for place in leaves(example["value"]):
                    where = ".".join(map(str, place))
                    for name, text in TEXTS.items():
                        said = f"{line}: {where}, {name}"
                        yield Nasty(said, method, filled, example["value"], place, text, tag=tag)


def of_the_pages(client: TestClient) -> Iterator[Nasty]:
    """Yield every form of the pages with all that is typed in it nasty at once."""
    for page in PAGES:
        read = Page(client.get(page).text)
        posted = {one.attrs.get("action", ""): one.attrs for one in read.root.all("form")}
        for action, attrs in posted.items():
            if attrs.get("method") != "post" or not action or "sign-out" in action:
                continue
            form = read.form(action)
            pairs = tuple((name, value) for name, many in form.values.items() for value in many)
            kept = {"version", "form_token", "form_whose", "key", "yarn_choice", "do"}
            typed = tuple(name for name, _ in pairs if name not in kept)
            for name, text in TEXTS.items():
                said = f"form {form.action} of {page}: {name}"
                yield Nasty(said, "post", form.action, pairs, typed, text, form=True)


def cost(client: TestClient, one: Nasty, size: int) -> tuple[float, int]:
    """Return the milliseconds of processor that a request takes, and its status."""
    content = one.content(size)
    kind = "application/x-www-form-urlencoded" if one.form else "application/json"
    headers = {"Content-Type": kind, **({"If-Match": one.tag} if one.tag else {})}
    began = process_time()
    answer = client.request(
        one.method, one.path, content=content, headers=headers, follow_redirects=False
    )
    return (process_time() - began) * 1000, answer.status_code


def a_turn() -> float:
    """Return the milliseconds of a loop that is the same everywhere, the best of five."""
    found = []
    for _ in range(5):
        began = process_time()
        sum(number * number % 7 for number in range(100_000))
        found.append((process_time() - began) * 1000)
    return min(found)


@dataclass(frozen=True)
class Cost:
    """What a request took at a size and at twice the size."""

    name: str
    size: int
    status: int
    once: float
    twice: float

    @property
    def grows(self) -> bool:
        """Whether it more than doubles, by more than the clock's own unrest."""
        return self.twice > MORE_THAN_DOUBLED * self.once and self.twice - self.once > 10


def measured(client: TestClient, one: Nasty, size: int) -> Cost | None:
    """Measure a request; what is dear is measured again, for the least counts."""
    if one.form and size * len(one.place) > 400_000:
        size = 400_000 // max(len(one.place), 1)
    once, status = cost(client, one, size)
    twice, status = cost(client, one, 2 * size)
    if twice > MOST_MS / 2:
        once = min(once, *(cost(client, one, size)[0] for _ in range(2)))
        twice = min(twice, *(cost(client, one, 2 * size)[0] for _ in range(2)))
    return Cost(one.name, 2 * size, status, once, twice)


def tell(head: str, found: list[Cost], turn: float) -> None:
    """Print the worst of some costs."""
    print(f"\n{head}: {len(found)} requests, each at a size and at twice the size")
    print("| ms of processor | turns | at half the size | status | characters | request |")
    print("|---|---|---|---|---|---|")
    for one in sorted(found, key=lambda one: -one.twice)[:20]:
        mark = " GROWS" if one.grows else ""
        print(f"| {one.twice:.1f} | {one.twice / turn:.1f} | {one.once:.1f}{mark} |"
              f" {one.status} | {one.size} | {one.name} |")  # fmt: skip


def main() -> None:
    """Measure as many as there is time for, in a mixed order, and print the worst."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=1800)
    parser.add_argument("--only", default="", help="requests whose line holds this text")
    options = parser.parse_args()
    turn, began, found = a_turn(), monotonic(), []
    with tempfile.TemporaryDirectory() as folder:
        database = open_database(f"sqlite:///{Path(folder) / 'nasty.sqlite'}")
        upgrade(database.engine)
        stocked = Stocked(database, create_app(database, FixedClock(), entrance=cheap()))
        stocked.anew()
        client = known(stocked.api.client)
        every = [
            (one, size)
            for one in (*of_the_api(stocked), *of_the_pages(client))
            if options.only in one.name
            for size in SIZES
        ]
        Random(1).shuffle(every)  # noqa: S311 - no secret
        for number, (one, size) in enumerate(every):
            if number % 200 == 0:
                stocked.anew()
            if monotonic() - began > options.seconds:
                break
            if cost_of := measured(client, one, size):
                found.append(cost_of)
        database.close()
    print(f"a turn of the loop: {turn:.2f} ms; {len(found)} of {len(every)} measured")
    done = [one for one in found if 200 <= one.status < 400 and LONG.search(one.name)]
    tell("work that is long by its nature", done, turn)
    others = [one for one in found if one not in done]
    tell("everything else", others, turn)
    over = sum(one.twice > MOST_MS for one in others)
    print(f"\nover {MOST_MS:.0f} ms: {over}; more than doubled: {sum(o.grows for o in found)}")


if __name__ == "__main__":
    main()
