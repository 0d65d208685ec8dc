"""A day's traffic on several servers, by hand: python -m deploy.load --help.

In the test environment (.env-check), from the top folder. It prints the table of docs/scale.md:
how many requests a second, how long they took, where it bends. With --strike it then kills a
server and a worker, ends all connections of the database and, if that is its own, lets it crash;
and looks that nothing was lost or doubled. Everything is on this machine.
"""

import argparse
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path

from deploy.environment import SetupError
from deploy.fleet import Fleet, fleet, machine, memory_of, seconds_of
from deploy.postgres import find, new_database
from deploy.striking import StruckDatabase, strike, struck_database
from deploy.traffic import Client, Seen, at_most, run_clients

STEPS = (1, 2, 4, 8, 16, 32)


def parse(arguments: Sequence[str] | None) -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(prog="deploy.load", description=__doc__.splitlines()[0])
    parser.add_argument("--servers", type=int, default=4)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--clients", type=int, nargs="*", default=STEPS, help="one step for each")
    parser.add_argument("--seconds", type=float, default=20, help="of each step")
    parser.add_argument("--strike", type=float, default=0, help="seconds under strikes, after")
    parser.add_argument("--postgres", default="any", help="as for check.py; own: one to crash")
    return parser.parse_args(arguments)


def prepare(one: Fleet) -> None:
    """Give the shop an address that its mails are from."""
    client = Client(list(one.servers), one.known, Seen(), 0)
    shop = {"email": "odile@marrowfield.example"}
    client.ask("shop", "PUT", "/api/v1/shop", shop, {"If-Match": '"0"'})


def told(clients: int, seen: Seen, seconds: float, used: float) -> str:
    """Return a line of the table."""
    took = [one for kind in seen.took.values() for one in kind]
    rate, failed = len(took) / seconds, sum(seen.failed.values())
    times = " | ".join(f"{at_most(took, share):.0f}" for share in (0.5, 0.95, 0.99))
    cost = 1000 * used / len(took) if took else 0
    bad = failed + len(seen.odd)
    return f"| {clients} | {rate:.1f} | {times} | {cost:.1f} | {used / seconds:.2f} | {bad} |"


def step(one: Fleet, clients: int, seconds: float) -> Seen:
    """Let so many clients work, and print the line."""
    before, begun = sum(map(seconds_of, one.servers.values())), time.monotonic()
    seen = run_clients(list(one.servers), one.known, clients, seconds, seed=clients * 1000)
    passed = time.monotonic() - begun
    used = sum(map(seconds_of, one.servers.values())) - before
    print(told(clients, seen, passed, used), flush=True)
    return seen


def each_kind(seen: Seen) -> None:
    """Print how long each kind of request took."""
    print("\n| request | number | half within ms | 99 % within ms |\n|---|---|---|---|")
    for kind, took in sorted(seen.took.items()):
        print(f"| {kind} | {len(took)} | {at_most(took, 0.5):.0f} | {at_most(took, 0.99):.0f} |")


@contextmanager
def place(
    options: argparse.Namespace, folder: Path
) -> Iterator[tuple[str, StruckDatabase | None]]:
    """Yield a database's address, and its server if it is ours to crash."""
    if options.postgres == "own":
        with struck_database(folder) as own:
            yield own.url, own
    else:
        with new_database(find_url(options)) as url:
            yield url, None


HEAD = """
| clients | requests/s | half within ms | 95 % | 99 % | server CPU ms each | cores | failed |
|---|---|---|---|---|---|---|---|"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the trial; return 1 if anything failed that should not."""
    options = parse(arguments)
    print(machine(), flush=True)
    bad: list[str] = []
    with tempfile.TemporaryDirectory(prefix="hoodwright-load-") as name, ExitStack() as stack:
        folder = Path(name)
        url, own = stack.enter_context(place(options, folder))
        named = {"HOODWRIGHT_MAIL_TIMEOUT": "1"}  # a killed worker's mail is soon another's
        one = stack.enter_context(fleet(url, folder, options.servers, options.workers, **named))
        prepare(one)
        if options.clients:
            print(HEAD)
            all_steps = [step(one, clients, options.seconds) for clients in options.clients]
            each_kind(all_steps[-1])
            bad += [odd for each in all_steps for odd in each.odd]
        memory = [
            max(map(memory_of, each), default=0) for each in (one.servers.values(), one.workers)
        ]
        print(f"\nmemory of a server: {memory[0]:.0f} MB; of a worker: {memory[1]:.0f} MB")
        if options.strike:
            bad += strike(one, own, options.strike)
    print(*bad[:20], sep="\n")
    return 1 if bad else 0


def find_url(options: argparse.Namespace) -> str:
    """Return the address of the server that is named."""
    found = find(options.postgres)
    if isinstance(found, Path):
        raise SetupError("no PostgreSQL server runs: start one, or take --postgres own.")
    return found


if __name__ == "__main__":
    sys.exit(main())
