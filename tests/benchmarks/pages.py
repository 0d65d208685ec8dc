"""How soon a page is painted first, and how much it sends.

    PYTHONPATH=. python3 -m tests.benchmarks.pages [a Chromium, /usr/bin/chromium] [times, 3]

It serves the demo shop in a process of this one, opens every page with an empty cache, and prints
the middle of the browser's own first-contentful-paint, in milliseconds, and the bytes that came.
"""

import sys
import tempfile
from pathlib import Path
from statistics import median

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
PAINT = """() => new Promise((done) => {
  new PerformanceObserver((list) => {
    const one = list.getEntriesByName("first-contentful-paint")[0];
    if (one) done(one.startTime);
  }).observe({type: "paint", buffered: true});
})"""
BYTES = """() => ["navigation", "resource"].flatMap((kind) => performance.getEntriesByType(kind))
  .reduce((sum, one) => sum + one.transferSize, 0)"""


def _seen(browser: Browser, address: str, path: str) -> tuple[float, int]:
    """Open a page as somebody who has never been there; return its paint and its bytes."""
    context = browser.new_context(viewport={"width": PHONE, "height": 800})
    context.add_cookies([{"name": COOKIE, "value": SECRET, "url": address}])
    page = context.new_page()
    page.goto(address + path)
    seen = float(page.evaluate(PAINT)), int(page.evaluate(BYTES))
    context.close()
    return seen


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
        with served(database, lambda: NOW) as address:
            _seen(browser, address, "/")  # the templates are read once
            slow = 0
            for path in every:
                seen = [_seen(browser, address, path) for _ in range(times)]
                paint = median(one for one, _ in seen)
                slow += paint > MOST_MS
                print(f"{paint:7.0f} ms {seen[0][1]:8} bytes  {path}")
        print(f"{slow} of {len(every)} pages later than {MOST_MS} ms")
        browser.close()
        database.close()


if __name__ == "__main__":
    main()
