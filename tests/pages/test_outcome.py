"""What became of a hood, told on the order's page."""

from tests.pages.reading import Page
from tests.pages.site import BEAGLE, Site


def finished(site: Site) -> Page:
    page = site.take(BEAGLE)
    for to in ("accepted", "making", "finished"):
        page = site.send(page.form("/state").action, page.form("/state").with_(to=to))
    return page


def test_grams_minutes_and_fit_are_kept_and_shown_again(site: Site) -> None:
    form = finished(site).form("/outcome")
    sent = form.with_(grams="96,5", minutes="300", collar="tight", nape="good", note="A bit snug.")

    page = site.send(form.action, sent)

    kept = page.form("/outcome").values
    assert (kept["grams"], kept["collar"]) == (["96.5"], ["tight"])
    assert "What became of it: grams 96.5, minutes 300.0, collar tight, nape good." in page.text
    assert "The plan said" in page.by_id("hint-grams").text


def test_a_strange_figure_is_asked_back_and_nothing_typed_is_lost(site: Site) -> None:
    form = finished(site).form("/outcome")

    asked = site.send(form.action, form.with_(grams="9000", note="Oh."), 422)

    assert "The plan said about" in asked.by_id("said-grams").text
    again = asked.form("/outcome")
    assert again.values["grams"] == ["9000"]
    kept = site.send(again.action, again.with_(sure="true"))
    assert kept.form("/outcome").values["grams"] == ["9000"]


def test_an_order_that_is_not_finished_asks_nothing(site: Site) -> None:
    assert not site.take(BEAGLE).forms("/outcome")
