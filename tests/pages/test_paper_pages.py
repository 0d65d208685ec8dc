"""The other papers as pages: all that the paper says, safe, and nothing for axe to find."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from playwright.sync_api import Browser

from documents.bill_view import quote_view
from documents.guide_view import guide_view
from documents.label_view import label_view
from documents.language import language
from documents.parcel_view import parcel_view
from service.papershtml import bill_html, guide_html, labels_html, parcel_html, sizes_html
from tests.documents.more_samples import TAXED, billed, priced, sized
from tests.documents.samples import HOSTILE, Order, hostile, medium
from tests.pages.test_care_page import AXE, RULES, RUN, opened
from tests.pages.visitor import PROMISES


def _bill(made: Order, code: str) -> str:
    view = quote_view([priced(made)], TAXED, billed(made, terms=HOSTILE), language(code))
    return bill_html(view)


def _guide(made: Order, code: str) -> str:
    return guide_html(guide_view(made[0].maker, language(code), made[0].dog))


PAGES: dict[str, Callable[[Order, str], str]] = {
    "bill": _bill,
    "guide": _guide,
    "labels": lambda made, code: labels_html(label_view([made[0]], language(code), 1)),
    "parcel": lambda made, code: parcel_html(
        parcel_view([made[0]], ("4 Sluice Lane", HOSTILE), language(code))
    ),
    "sizes": lambda made, _code: sizes_html(sized(made)),
}
every_page = pytest.mark.parametrize("name", list(PAGES))


@every_page
@pytest.mark.parametrize(("made", "code"), [(medium, "de"), (hostile, "en")])
def test_each_is_sound_on_a_phone_and_for_a_screen_reader(
    browser: Browser, name: str, made: Callable[[], Order], code: str
) -> None:
    with opened(browser, PAGES[name](made(), code), dark=code == "de") as page:
        page.evaluate(AXE)
        found = page.evaluate(RUN, RULES)
        broken = {promise: page.evaluate(script) for promise, script in PROMISES.items()}
        assert page.locator("img, script, form, a").count() == 0

    assert found["violations"] == []
    assert all(wrong == [] for wrong in broken.values()), broken


def test_the_bill_says_every_line_of_the_paper(browser: Browser) -> None:
    made = priced(medium())
    view = quote_view([made], TAXED, billed(made))
    with opened(browser, bill_html(view)) as page:
        text = page.locator("main").inner_text()

    before, total, after = view.totals
    lines = [line for hood in view.hoods for line in hood.lines]
    for name, amount in (*lines, *before, total, *after):
        assert name in text
        assert amount in text
    for said in (*view.maker, *view.buyer, view.caution, view.law):
        assert said in text


def test_the_guide_names_every_tape(browser: Browser) -> None:
    job, _ = medium()
    view = guide_view(replace(job.maker, name="Odile"), language("de"), "Mokka")
    with opened(browser, guide_html(view)) as page:
        text = page.locator("main").inner_text()

    for tape in (*view.tapes, *view.more):
        assert f"{tape.sign} {tape.name}: {tape.where}" in text
    for said in (*view.how, *view.cautions, view.send):
        assert said in text
