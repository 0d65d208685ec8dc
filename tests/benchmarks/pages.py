"""How soon a page is painted first, what of that is the server's, and how much it sends.

    PYTHONPATH=. python3 -m tests.benchmarks.pages [a Chromium, /usr/bin/chromium] [times, 3]

It serves the demo shop in a process of this one and opens every page with an empty cache, at a
phone's width. Each line has the middle of the browser's own first-contentful-paint, in
milliseconds; the part of it that the server took until its first byte; and the bytes that came.
The floor is one line of HTML without a style sheet, from a bare server, opened in the same
rounds; what a page takes beyond the floor and the server is its style, its size and its layout.
"""

import sys
import tempfile
from collections.abc import Generator
from contextlib import contextmanager
from dataclasses import dataclass
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from statistics import median
from threading import Thread

from playwright.sync_api import Browser, sync_playwright

from service.db import open_database
from service.demo import fill_demo
from service.schema import upgrade
from service.web.visitor import COOKIE
from tests.entering import SECRET, let_in
from tests.pages.conftest import CHROMIUM, NOW, served
from tests.pages.every import addresses, made_ready
from tests.pages.visitor import PHONE

MOST_MS = 300
OPENED_MS = 700
"""A new window has pages of its own (that of its address line asks for a hundred scripts): what a
page takes is looked at when these are there."""
SEEN = """() => new Promise((done) => {
  new PerformanceObserver((list) => {
    const one = list.getEntriesByName("first-contentful-paint")[0];
    if (!one) return;
    const [page] = performance.getEntriesByType("navigation");
    const all = [page, ...performance.getEntriesByType("resource")];
    const bytes = all.reduce((sum, each) => sum + each.transferSize, 0);
    done([one.startTime, page.responseStart - page.requestStart, bytes]);
  }).observe({type: "paint", buffered: true});
})"""


@dataclass(frozen=True, slots=True)
class Seen:
    """One look at a page: milliseconds to its paint, those the server took, and bytes."""

    paint: float
    server: float
    size: float


class _Bare(BaseHTTPRequestHandler):
    def do_GET(self) -> None:
        """Answer with one line."""
        body = b"<!doctype html><title>Floor</title><p>One line."
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_told: object) -> None:
        """Say nothing."""


@contextmanager
def bare() -> Generator[str]:
    """Serve one line of HTML."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), _Bare)
    thread = Thread(target=server.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    thread.join()
    server.server_close()


def _seen(browser: Browser, address: str) -> Seen:
    """Open a page as somebody who has never been there."""
    context = browser.new_context(viewport={"width": PHONE, "height": 800})
    context.add_cookies([{"name": COOKIE, "value": SECRET, "url": address}])
    page = context.new_page()
    page.wait_for_timeout(OPENED_MS)
    page.goto(address)
    seen = Seen(*map(float, page.evaluate(SEEN)))
    context.close()
    return seen


def _line(looks: list[Seen], path: str) -> tuple[float, str]:
    """Return the middle of the paints, and the line that tells it."""
    paint, server = (median(getattr(one, n) for one in looks) for n in ("paint", "server"))
    return paint, f"{paint:7.0f} ms {server:6.0f} ms {looks[0].size:8.0f} bytes  {path}"


def main() -> None:
    """Print a line for each page."""
    chromium = sys.argv[1] if len(sys.argv) > 1 else "/usr/bin/chromium"
    times = int(sys.argv[2]) if len(sys.argv) > 2 else 3
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        database = open_database(f"sqlite:///{Path(folder) / 'shop.sqlite'}")
        upgrade(database.engine)
        let_in(database, NOW)
        with database.writing() as session:
            fill_demo(session, NOW)
        every = addresses(made_ready(database, NOW))
        browser = playwright.chromium.launch(executable_path=chromium, args=list(CHROMIUM))
        with served(database, lambda: NOW) as address, bare() as floor:
            asked = {"the floor": floor} | {path: address + path for path in every}
            looks: dict[str, list[Seen]] = {path: [] for path in asked}
            for url in asked.values():
                _seen(browser, url)  # the templates are read once
            # Round after round, so that what else the machine does falls on all alike.
            for _ in range(times):
                for path, url in asked.items():
                    looks[path].append(_seen(browser, url))
        print("  paint     server")
        slow = 0
        for path, found in looks.items():
            paint, line = _line(found, path)
            slow += paint > MOST_MS
            print(line)
        print(f"{slow} of {len(every)} pages later than {MOST_MS} ms")
        browser.close()
        database.close()


if __name__ == "__main__":
    main()
