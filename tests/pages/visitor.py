"""A visitor with a real browser, who notes what went wrong on the way."""

from collections.abc import Generator
from contextlib import contextmanager
from dataclasses import dataclass, field

from playwright.sync_api import Browser, ConsoleMessage, Locator, Page, Request

from service.web.visitor import COOKIE
from tests.entering import SECRET

WIDE, PHONE = 1280, 360
OVERFLOWING = """() => {
  // What is laid out only when it comes near cuts off what is too wide: lay all of it out.
  const later = [...document.querySelectorAll("main *")]
    .filter((one) => getComputedStyle(one).contentVisibility === "auto");
  for (const one of later) one.style.contentVisibility = "visible";
  const wide = document.documentElement.clientWidth;
  const found = document.documentElement.scrollWidth > wide
    ? ["the page", ...[...document.querySelectorAll("main *, header *")]
        .filter((one) => one.getBoundingClientRect().right > wide + 1)
        .map((one) => `${one.tagName}.${one.className}`)]
    : [];
  for (const one of later) one.style.contentVisibility = "";
  return found;
}"""
UNLABELLED = """() => [...document.querySelectorAll("input, select, textarea")]
  .filter((one) => one.type !== "hidden" && !one.labels.length).map((one) => one.name)"""
SMALL = """() => [...document.querySelectorAll(
    "button, a.button, a.quiet, input:not([type=radio]):not([type=checkbox]), select, summary,"
    + "nav a, label.option, .card a")]
  .filter((one) => one.checkVisibility() && !one.closest(".away") && !one.matches(".away"))
  .filter((one) => one.getBoundingClientRect().height < 43.5)
  .map((one) => one.textContent.trim().slice(0, 40))"""

PROMISES = {"no sideways scroll": OVERFLOWING, "labels": UNLABELLED, "large targets": SMALL}


@dataclass
class Visitor:
    """A browser's page at one width, with what it asked for and what it complained of."""

    page: Page
    address: str
    asked: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def watch(self) -> None:
        """Note every request and every complaint from now on."""
        self.page.on("request", self._request)
        self.page.on("console", self._console)
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))

    def _request(self, request: Request) -> None:
        self.asked.append(request.url)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"}:
            self.complaints.append(message.text)

    def go(self, path: str) -> None:
        """Open a page and hold it to what every page promises."""
        self.page.goto(self.address + path)
        self.check()

    def follow(self, one: Locator) -> None:
        """Press what leads to another page, wait until that page is there, and check it.

        A click alone returns before the browser has left the old page, which would then be
        checked in the new one's place, or be gone half way through.
        """
        with self.page.expect_navigation():
            one.click()
        self.check()

    def check(self) -> None:
        """Hold the page to no sideways scroll, labels for all, and targets a thumb can hit."""
        self.page.wait_for_load_state()
        for name, script in PROMISES.items():
            broken = self.page.evaluate(script)
            assert broken == [], f"{name}: {broken} at {self.page.url}"

    def leave(self) -> None:
        """Hold that nothing was asked of another host and nothing was complained of."""
        foreign = [url for url in self.asked if not url.startswith(self.address)]
        assert foreign == [], foreign
        assert self.complaints == [], self.complaints


@contextmanager
def visit(
    browser: Browser,
    address: str,
    width: int,
    *,
    script: bool = True,
    scheme: str = "light",
    known: bool = True,
) -> Generator[Visitor]:
    """Visit the shop at a width, with or without script, signed in or as a stranger."""
    context = browser.new_context(
        viewport={"width": width, "height": 800},
        java_script_enabled=script,
        color_scheme="dark" if scheme == "dark" else "light",
        locale="en-GB",
    )
    if known:
        context.add_cookies([{"name": COOKIE, "value": SECRET, "url": address}])
    visitor = Visitor(context.new_page(), address)
    visitor.page.set_default_timeout(15_000)
    visitor.watch()
    yield visitor
    visitor.leave()
    context.close()
