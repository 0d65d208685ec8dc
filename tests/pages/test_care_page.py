"""The care sheet as a page: its structure, its escaping, and its accessibility by axe-core."""

from collections.abc import Callable, Generator
from contextlib import contextmanager
from dataclasses import replace
from importlib.resources import files

import pytest
from playwright.sync_api import Browser, Page, Route

from documents.care_view import CareView, care_view
from service.papershtml import care_html, policy
from sizing.dogs import Risk
from tests.documents.samples import HOSTILE, hostile, medium, unprintable
from tests.pages.visitor import PHONE, PROMISES

ADDRESS = "http://care.test/sheet"
AXE = (files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
RUN = """async (tags) => {
  const found = await axe.run({runOnly: {type: "tag", values: tags}});
  return {passes: found.passes.length, violations: found.violations.map(
    (one) => `${one.id}: ${one.nodes.map((node) => node.html).join(" ")}`)};
}"""


def full(code: str = "en") -> CareView:
    job, plan = medium()
    known = replace(plan, profile=replace(plan.profile, risks=frozenset(Risk)))
    return care_view(job, known, code, buttoned=True, sewn_on=True)


VIEWS: dict[str, Callable[[], CareView]] = {
    "plain": lambda: care_view(*medium()),
    "full": full,
    "German": lambda: full("de"),
    "hostile": lambda: care_view(*hostile()),
    "unprintable": lambda: care_view(*unprintable(), on_screen=True),
}
every_view = pytest.mark.parametrize("name", list(VIEWS))


@contextmanager
def opened(
    browser: Browser, html: str, *, width: int = PHONE, dark: bool = False
) -> Generator[Page]:
    """Open a document as a server with its policy would send it; hold it to ask for nothing."""
    asked, complaints = [], []
    context = browser.new_context(
        viewport={"width": width, "height": 800}, color_scheme="dark" if dark else "light"
    )

    def answer(route: Route) -> None:
        asked.append(route.request.url)
        route.fulfill(
            body=html,
            content_type="text/html; charset=utf-8",
            headers={"Content-Security-Policy": policy()},
        )

    context.route("**/*", answer)
    page = context.new_page()
    page.on("console", lambda message: complaints.append(message.text))
    page.goto(ADDRESS)
    yield page
    context.close()
    assert [url for url in asked if not url.endswith("favicon.ico")] == [ADDRESS]
    assert complaints == []


@every_view
@pytest.mark.parametrize("dark", [False, True])
def test_axe_finds_nothing_to_complain_of(browser: Browser, name: str, *, dark: bool) -> None:
    with opened(browser, care_html(VIEWS[name]()), dark=dark) as page:
        page.evaluate(AXE)
        found = page.evaluate(RUN, RULES)

    assert found["violations"] == []
    assert found["passes"] > 10


def test_axe_would_find_a_fault(browser: Browser) -> None:
    broken = care_html(full()).replace('lang="en"', "").replace("<h2", "<h4")
    with opened(browser, broken) as page:
        page.evaluate(AXE)
        found = page.evaluate(RUN, RULES)

    told = " ".join(found["violations"])
    assert "html-has-lang" in told
    assert "heading-order" in told


@every_view
def test_it_fits_a_phone(browser: Browser, name: str) -> None:
    with opened(browser, care_html(VIEWS[name]())) as page:
        broken = {promise: page.evaluate(script) for promise, script in PROMISES.items()}

    assert all(found == [] for found in broken.values()), broken


def test_title_language_headings_and_lists_are_there_for_a_screen_reader(
    browser: Browser,
) -> None:
    view = full("de")
    with opened(browser, care_html(view)) as page:
        assert page.title() == "Kapuze für Mokka: Aufsicht und Pflege"
        assert page.locator("html").get_attribute("lang") == "de"
        assert page.get_by_role("heading", level=1).all_inner_texts() == [view.heading]
        titles = page.get_by_role("heading", level=2).all_inner_texts()
        regions = page.get_by_role("region")
        named = [page.get_by_role("region", name=title, exact=True) for title in titles]

        assert titles == [topic.title for topic in view.topics]
        assert regions.count() == len(view.topics)
        for topic, region in zip(view.topics, named, strict=True):
            assert region.locator("li, p").all_text_contents() == list(topic.lines)


def test_the_page_says_all_that_the_paper_says(browser: Browser) -> None:
    view = full()
    with opened(browser, care_html(view)) as page:
        text = page.locator("main").inner_text()

    for line in (view.subheading, *view.maker, *view.hood, *view.closing):
        assert line in text


def test_typed_text_stays_text(browser: Browser) -> None:
    job, plan = medium()
    view = care_view(replace(job, wash=HOSTILE), plan)
    with opened(browser, care_html(view)) as page:
        assert page.locator("img, b, script").count() == 0
        assert HOSTILE.strip() in page.locator("main").inner_text()


def test_its_style_is_applied_under_its_policy(browser: Browser) -> None:
    with opened(browser, care_html(full()), width=1280) as page:
        wide = page.locator("main").bounding_box()

    assert wide
    assert wide["width"] < 900


def test_a_name_in_any_script_is_shown_as_it_is(browser: Browser) -> None:
    with opened(browser, care_html(care_view(*unprintable(), on_screen=True))) as page:
        heading = page.get_by_role("heading", level=1).inner_text()

    assert heading == "\u2068כלב שלי\u2069\u2019s hood"
