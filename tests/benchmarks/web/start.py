"""How long until the first answer, beside importing FastAPI and SQLModel.

    python3 -m tests.benchmarks.web.start [rounds, 9]

The server starts as a maker starts it, over a shop that is there already: settings, a look at
the database, migrations up to date, then it listens. The first answer is the page to sign in.
"""

import subprocess
import sys
import time
from http.client import HTTPConnection
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from tests.benchmarks.web.serving import ROOT, free_port

GOAL = 1.5
IMPORTS = "import fastapi, sqlmodel"


def imports() -> float:
    """Return the seconds that a process takes which imports the two and ends."""
    begun = time.perf_counter()
    subprocess.run([sys.executable, "-c", IMPORTS], check=True, cwd=ROOT)  # noqa: S603 - ours
    return time.perf_counter() - begun


def first_answer(folder: Path) -> float:
    """Return the seconds from starting the server to its first answer."""
    port = free_port()
    command = [sys.executable, "-m", "service.command", "serve", "--quiet"]
    begun = time.perf_counter()
    process = subprocess.Popen(  # noqa: S603 - ours
        [*command, "--data", str(folder), "--port", str(port)], cwd=ROOT, stdout=subprocess.DEVNULL
    )
    try:
        while process.poll() is None:
            try:
                line = HTTPConnection("127.0.0.1", port, timeout=5)
                line.request("GET", "/sign-in")
                line.getresponse().read()
            except OSError:
                time.sleep(0.005)
            else:
                return time.perf_counter() - begun
        raise SystemExit("the server did not start")
    finally:
        process.terminate()
        process.wait(30)


def main(rounds: int = 9) -> None:
    """Print the two times and their ratio."""
    with TemporaryDirectory() as place:
        first_answer(Path(place))  # makes the shop
        times = [(imports(), first_answer(Path(place))) for _ in range(rounds)]
    floor, ours = (median(column) for column in zip(*times, strict=True))
    print(
        f"imports {floor:.2f} s, first answer {ours:.2f} s, ratio {ours / floor:.2f} (goal {GOAL})"
    )


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
