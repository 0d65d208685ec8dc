"""The drawings of the pages."""

import re
from itertools import pairwise, product

import pytest
from playwright.sync_api import Browser

from documents.pieces_view import pieces_view
from service.bodies import OrderIn, RatesIn
from service.planning import request_of
from service.web.files import own_files
from service.web.pages.figures import WIDTH, Figure, dog, figure
from service.web.pages.fitview import fit_view
from service.web.pages.render import environment
from sizing.plan import Plan, make_plan
from sizing.units import LengthUnit

DOGS = {
    "toy": ("4", "20.5", "6.5", "22"),
    "beagle": ("8", "35.5", "11.5", "38"),
    "giant": ("18", "70", "24", "75"),
}


WORDS = """() => {
  const drawing = document.querySelector("svg").getBoundingClientRect();
  const words = [...document.querySelectorAll("svg text")];
  return words.filter((one) => {
    const box = one.getBoundingClientRect();
    return box.left < drawing.left || box.right > drawing.right || box.bottom > drawing.bottom;
  }).map((one) => one.textContent);
}"""


def _plan(name: str, weight_class: int, collar: str = "joined", **more: object) -> Plan:
    fields = ("neck_length", "neck_girth", "nape_length", "face_girth")
    asked = OrderIn.model_validate(
        {
            "buyer": {"name": "Tilda"},
            "measurements": dict(zip(fields, DOGS[name], strict=True)),
            "yarn": {
                "name": "Aran",
                "fibres": [{"fibre": "acrylic", "percent": 100}],
                "weight_class": weight_class,
                "ball_metres": 170,
                "ball_grams": 100,
            },
            "wishes": {"collar": collar},
            "accepted": [{"field": field, "reason": "as drawn"} for field in fields],
            **more,
        }
    )
    return make_plan(request_of(asked, RatesIn()))


def _figure(name: str, weight_class: int = 4) -> Figure:
    return figure(pieces_view(_plan(name, weight_class), LengthUnit.CM))


@pytest.mark.parametrize("name", DOGS)
@pytest.mark.parametrize("weight_class", [0, 4, 7])
def test_all_of_it_lies_inside_and_no_word_on_another(name: str, weight_class: int) -> None:
    drawn = _figure(name, weight_class)
    left, top, wide, tall = drawn.collar
    points = [*drawn.panel, *drawn.dots, *(p for line in drawn.measures for p in line)]

    assert all(0 <= x <= WIDTH and 0 <= y <= drawn.height for x, y in points)
    assert 0 <= left < left + wide <= WIDTH
    assert top + tall <= drawn.height
    assert all(left < rib < left + wide for rib in drawn.ribs)
    beside = [word for word in drawn.words if word.x > max(x for x, _ in drawn.panel)]
    beside = [word for word in beside if word.y < top]
    assert all(after.y - before.y >= 15 for before, after in pairwise(beside))
    assert all(0 < word.y <= drawn.height for word in drawn.words)


@pytest.mark.parametrize("unit", LengthUnit)
def test_every_word_can_be_read_whole(browser: Browser, unit: LengthUnit) -> None:
    draw = environment().from_string("{% import 'parts/order.html' as o %}{{ o.pieces(one) }}")
    style = f"<style>{own_files()['style.css'].plain.decode()}</style>"
    page = browser.new_page()
    for name, weight, collar in product(DOGS, (0, 4, 6), ("joined", "looser", "buttoned")):
        drawn = figure(pieces_view(_plan(name, weight, collar), unit))
        page.set_content(style + draw.render(one=drawn))
        assert page.locator("svg text").count() >= 7
        assert page.evaluate(WORDS) == [], (name, weight, collar)
    page.close()


def test_both_pieces_have_one_scale() -> None:
    drawn = _figure("beagle")
    front = drawn.front[0][1] - drawn.front[1][1]
    texts = [word.text for word in drawn.words]
    mm = float(next(t for t in texts if re.fullmatch(r"[0-9.]+ cm", t)).split()[0]) * 10
    strip = float(next(t for t in texts if "long" in t).split()[0]) * 10

    assert front / mm == pytest.approx(drawn.collar[2] / strip, rel=0.01)


def test_the_dog_has_no_style_of_its_own() -> None:
    drawn = dog()

    assert "<style" not in drawn
    assert "style=" not in drawn
    assert drawn.count('class="tape"') == 4


@pytest.mark.parametrize("name", DOGS)
def test_what_is_said_to_help_helps_as_much_as_is_said(name: str) -> None:
    counts = {"rib_stitches": 13, "rib_rows": 15, "plain_stitches": 13, "plain_rows": 14.5}
    without, swatched = (
        fit_view(fit, LengthUnit.CM)
        for fit in (_plan(name, 4).fit, _plan(name, 4, swatch=counts | {"hook_mm": 5}).fit)
        if fit
    )

    said = re.fullmatch(
        r"What would help most: a swatch, washed and counted\."
        r" All together is ([0-9]+)% sure then\.",
        without.advice,
    )
    assert said
    assert int(without.overall[:-1]) < 60
    # The swatch has counts of its own, so the hood that is made of it is not quite the same.
    assert int(swatched.overall[:-1]) == pytest.approx(int(said[1]), abs=2)
