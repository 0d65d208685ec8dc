"""What the nastiest requests of the allowed size cost: python -m tests.benchmarks.web.nasty

Every text and list of every body that the description gives as an example, every query, and every
form of the pages, is filled with long runs of digits, fractions, spaces, marks, separators;
besides, bodies and forms that are deep, wide, or of many fields, and files. Each is sent at a size
and at twice that size. The table has the worst by the processor's time; what more than doubles is
marked, for that is where a request could be made to hold everybody up. What is long by its nature
(a plan, a paper) is told apart, and so is the work that a request sets going beside it: of that
one piece is done at a time, whoever asks. What was dear is measured again at the end,
five times, for the least counts. Times are also told in turns of a loop, so that they can be held
against another machine's.
"""

import argparse
import re
import tempfile
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random
from threading import enumerate as enumerate_threads
from time import clock_gettime, monotonic, process_time, pthread_getcpuclockid, sleep
from typing import Final

from sqlmodel import col, select
from starlette.testclient import TestClient

from service.bringing.files import MOST_SENT
from service.db import Database, open_database
from service.models import Errand
from service.schema import upgrade
from service.web.application import create_app
from service.web.visitor import HEADER
from tests.benchmarks.web.drawn import Nasty, of_the_api, of_the_pages
from tests.entering import cheap, known
from tests.service.api import FixedClock
from tests.service.stocked import Stocked

SIZES: Final = (100, 1_000, 5_000, 200_000)
"""Characters; sent so long and twice as long. The longest is past what a text may be, and fits."""
MOST_MS: Final = 50.0
MORE_THAN_DOUBLED: Final = 2.6
AFRESH: Final = 100
"""Requests until the shop is brought back."""
LONG: Final = re.compile(r"plans|stock-sizes|trials|orders|in-hand|follow|papers|deliver")
"""Addresses whose work is long by its nature once they are understood: most draw or plan."""
FILE: Final = re.compile(r"^POST (/api/v1)?/bring-in\b(?!/)")
"""Where files come in."""


@dataclass(frozen=True)
class Took:
    """What a request took: milliseconds of its own and beside it, its status and bytes."""

    ms: float
    beside: float
    status: int
    sent: int


def beside() -> float:
    """Return the seconds of processor that the threads of long work have taken so far."""
    lanes = [one for one in enumerate_threads() if one.name.startswith("errand")]
    return sum(clock_gettime(pthread_getcpuclockid(one.ident)) for one in lanes if one.ident)


def over(database: Database) -> None:
    """Wait until no long work goes on."""
    going = select(Errand.id).where(col(Errand.over_at).is_(None)).limit(1)
    while True:
        with database.reading() as session:
            if session.exec(going).first() is None:
                return
        sleep(0.002)


def cost(stocked: Stocked, client: TestClient, one: Nasty, size: int) -> Took:
    """Return what a request takes, without what it sets going beside it."""
    path, content = one.make(size)
    headers = {"Content-Type": one.kind} if one.kind else {}
    headers |= {"If-Match": one.tag} if one.tag else {}
    began, work = process_time(), beside()
    answer = client.request(
        one.method, path, content=content or None, headers=headers, follow_redirects=False
    )
    took = process_time() - began - (beside() - work)
    over(stocked.database)
    sent = len(content) or len(path)
    return Took(took * 1000, (beside() - work) * 1000, answer.status_code, sent)


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

    one: Nasty
    size: int
    status: int
    sent: int
    once: float
    twice: float
    beside: float

    @property
    def grows(self) -> bool:
        """Whether it more than doubles, by more than the clock's own unrest."""
        return self.twice > MORE_THAN_DOUBLED * self.once and self.twice - self.once > 10

    @property
    def long(self) -> bool:
        """Whether it did work that is long by its nature."""
        return 200 <= self.status < 400 and bool(LONG.search(self.one.name))


def measured(stocked: Stocked, client: TestClient, one: Nasty, size: int) -> Cost:
    """Measure a request."""
    once = cost(stocked, client, one, size)
    twice = cost(stocked, client, one, 2 * size)
    return Cost(one, size, twice.status, twice.sent, once.ms, twice.ms, twice.beside)


def again(client: TestClient, stocked: Stocked, found: Cost) -> Cost:
    """Measure what was dear once more, in a fresh shop each time: the least counts."""
    best = found
    for _ in range(5):
        stocked.anew()
        now = measured(stocked, client, found.one, found.size)
        best = replace(
            now,
            once=min(best.once, now.once),
            twice=min(best.twice, now.twice),
            beside=min(best.beside, now.beside),
        )
    return best


def tell(head: str, found: list[Cost], turn: float) -> None:
    """Print the worst of some costs."""
    print(f"\n{head}: {len(found)} requests, each at a size and at twice the size")
    print("| ms of processor | turns | at half the size | status | bytes | request |")
    print("|---|---|---|---|---|---|")
    for one in sorted(found, key=lambda one: -one.twice)[:20]:
        mark = " GROWS" if one.grows else ""
        print(f"| {one.twice:.1f} | {one.twice / turn:.1f} | {one.once:.1f}{mark} |"
              f" {one.status} | {one.sent} | {one.one.name} |")  # fmt: skip


def tell_beside(found: list[Cost], turn: float) -> None:
    """Print the longest work that requests set going."""
    dear = sorted((one for one in found if one.beside > 1), key=lambda one: -one.beside)
    print(f"\nset going beside: {len(dear)} requests, of whose work one piece is done at a time")
    print("| ms of processor beside | turns | of its own | status | bytes | request |")
    print("|---|---|---|---|---|---|")
    for one in dear[:12]:
        print(f"| {one.beside:.1f} | {one.beside / turn:.1f} | {one.twice:.1f} |"
              f" {one.status} | {one.sent} | {one.one.name} |")  # fmt: skip


def sizes(one: Nasty) -> tuple[int, ...]:
    """Return the sizes that a request is sent at; a file may be larger than anything else."""
    return (*SIZES, MOST_SENT // 2 - 1_000) if FILE.search(one.name) else SIZES


@contextmanager
def shop() -> Iterator[tuple[Stocked, TestClient]]:
    """Give a shop with something of everything, and a browser that is signed in."""
    with tempfile.TemporaryDirectory() as folder:
        database = open_database(f"sqlite:///{Path(folder) / 'nasty.sqlite'}")
        upgrade(database.engine)
        stocked = Stocked(database, create_app(database, FixedClock(), entrance=cheap()))
        stocked.anew()
        client = known(stocked.api.client)
        del client.headers[HEADER]  # a browser's forms carry the token themselves
        yield stocked, client
        database.close()


def main() -> None:
    """Measure as many as there is time for, in a mixed order, and print the worst."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=1800)
    parser.add_argument("--only", default="", help="requests whose line holds this text")
    parser.add_argument("--share", default="1/1", help="one of so many parts, as 2/3")
    options = parser.parse_args()
    part, parts = map(int, options.share.split("/"))
    began, found, turns = monotonic(), [], [a_turn()]
    with shop() as (stocked, client):
        drawn = (*of_the_api(stocked), *of_the_pages(client))
        every = [(one, size) for one in drawn if options.only in one.name for size in sizes(one)]
        Random(1).shuffle(every)  # noqa: S311 - no secret
        every = every[part - 1 :: parts]
        for number, (one, size) in enumerate(every):
            if number % AFRESH == 0:
                stocked.anew()
                turns.append(a_turn())
            if monotonic() - began > options.seconds:
                break
            found.append(measured(stocked, client, one, size))
        first = sum(one.twice > MOST_MS for one in found)
        found = [again(client, stocked, one) if one.twice > MOST_MS else one for one in found]
    turn = sorted(turns)[len(turns) // 2]
    print(f"a turn of the loop: {min(turns):.1f} to {max(turns):.1f} ms, mostly {turn:.1f};"
          f" {len(found)} of {len(every)} measured in {monotonic() - began:.0f} s")  # fmt: skip
    print(f"statuses: {dict(sorted(Counter(one.status for one in found).items()))}")
    print(f"over {MOST_MS:.0f} ms at first, and measured again: {first}")
    done, others = [x for x in found if x.long], [x for x in found if not x.long]
    tell("work that is long by its nature", done, turn)
    tell("everything else", others, turn)
    tell_beside(found, turn)
    dear = sum(one.twice > MOST_MS for one in others)
    print(f"\nover {MOST_MS:.0f} ms: {dear}; more than doubled: {sum(o.grows for o in found)}")


if __name__ == "__main__":
    main()
