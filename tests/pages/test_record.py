"""The figures' page: plots with names and numbers, at every width."""

import re
from datetime import timedelta

import pytest
from playwright.sync_api import Browser

from service.bodies import OrderIn, OutcomeIn
from service.db import Database
from service.orders import move_order, take_order
from service.outcomes import tell_outcome
from service.web.pages.plots import Figure, amounts, differences
from tests.pages.conftest import NOW
from tests.pages.site import Site
from tests.pages.visitor import PHONE, WIDE, visit
from tests.service.api import SWATCH, YARN, order_body

DOGS = ("Moth", "Graf Zeppelin von und zu Tannenhain", "<b>Bold</b>")


@pytest.fixture
def told(demo: Database) -> Database:
    """The demo shop with three hoods told, in two months and two yarns."""
    with demo.writing() as session:
        for place, dog in enumerate(DOGS):
            now = NOW - timedelta(days=30 * place)
            yarn = {**YARN, "name": ("Sorrel Wool", "Hemlock Aran")[place % 2]}
            body = order_body(dog={"name": dog, "weight": "11 kg"}, yarn=yarn, swatch=SWATCH)
            order = take_order(session, OrderIn.model_validate(body), now)
            for state in ("accepted", "making", "finished"):
                move_order(session, order.number, state, order.version, now)
            assert order.plan
            grams = order.plan["yarn"]["grams"]["likely"] * (1.05, 1.8, 0.95)[place]
            minutes = order.plan["labour"]["spread"]["likely"] * 0.9
            tale = OutcomeIn(grams=grams, minutes=minutes, sure=True)
            tell_outcome(session, order.number, tale, order.version, now)
    return demo


def test_without_a_hood_it_says_how_to_come_to_figures(site: Site) -> None:
    page = site.get("/figures")
    assert "No figures yet" in page.text
    assert not page.root.all("svg")


@pytest.mark.usefixtures("told")
def test_each_plot_has_a_name_its_words_and_its_numbers(demo_site: Site) -> None:
    page = demo_site.get("/figures")
    plots = page.root.all("svg")
    assert len(plots) == 6  # time, yarn and an hour; each by hood and by group
    for plot in plots:
        names = plot.attrs["aria-labelledby"].split()
        title, desc = (page.by_id(name).text for name in names)
        assert title
        bars = plot.all("polygon")
        assert len(bars) == desc.count(": ") - desc.count("it: ")
        assert plot.parent
        (table,) = plot.parent.all("table")
        assert len(table.all("tbody")[0].all("tr")) == len(bars)
        for row in table.all("tbody")[0].all("tr"):
            assert row.all("th")[0].text.split(" 20")[0] in desc or "20" in row.text
    assert "Your last three hoods took" in page.text
    assert "style=" not in page.html


@pytest.mark.usefixtures("told")
def test_a_hood_past_its_range_is_told_by_shape_and_word(demo_site: Site) -> None:
    page = demo_site.get("/figures")
    desc = page.by_id("d-yarn-hoods").text
    assert re.search(r"Tannenhain: \+80.%, past its mark\.", desc)
    assert re.search(r"Moth: \+5.%\.", desc)
    names = [one.text for one in page.root.all("text")]
    assert "Graf Zeppelin\u2026" in names
    assert "<b>Bold</b>" in names


def test_untold_hoods_are_named(demo_site: Site) -> None:
    page = demo_site.get("/figures")
    assert "/orders/2027-0006#ended" in page.links()
    assert "Moth, 2027-0006" in page.text


@pytest.mark.usefixtures("told")
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_can_be_read_wide_and_on_the_phone(browser: Browser, address: str, scheme: str) -> None:
    for width in (WIDE, PHONE):
        with visit(browser, address, width, scheme=scheme) as visitor:
            visitor.go("/figures")
            size = visitor.page.evaluate(
                "() => Math.min(...[...document.querySelectorAll('.panel svg text.name')]"
                ".map((one) => one.getBoundingClientRect().height))"
            )
            assert size >= 11


def ends(points: str) -> tuple[float, float]:
    across = [float(pair.partition(",")[0]) for pair in points.split()]
    return min(across), max(across)


def test_bars_go_the_way_and_as_far_as_their_figures() -> None:
    shares = (0.4, 0.2, 0.0, -0.2)
    plot = differences([Figure(f"{one}", one, "") for one in shares])
    middle = plot.marks[1].x
    long, short, none, back = (ends(row.bar) for row in plot.rows)
    assert long[1] - middle == pytest.approx(2 * (short[1] - middle), abs=0.2)
    assert none[1] - none[0] < 0.1
    assert middle - back[0] == pytest.approx(short[1] - middle, abs=0.2)
    assert back[1] == pytest.approx(middle, abs=0.1)


def test_what_is_past_the_scale_stays_in_the_picture() -> None:
    plot = differences([Figure("far", 40.0, "", span=(-3, 60))])
    (row,) = plot.rows
    assert ends(row.bar)[1] <= plot.marks[2].x + 0.1
    assert row.band
    assert row.band[0] + row.band[1] <= plot.marks[2].x + 0.1


def test_an_hour_that_costs_money_goes_below_nothing() -> None:
    plot = amounts([Figure("a", -4.0, ""), Figure("b", 20.0, "")], 16.0, "wage")
    nought, wage = (mark.x for mark in plot.marks)
    assert ends(plot.rows[0].bar)[0] < nought == pytest.approx(ends(plot.rows[0].bar)[1], abs=0.1)
    assert ends(plot.rows[1].bar)[1] > wage > nought
