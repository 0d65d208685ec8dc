"""Variants on the form and on the order's page, and the page of work in hand."""

import pytest

from tests.pages.site import BEAGLE, Site

VARIED = {
    "wishes.collar": "buttoned",
    "wishes.button": "22 mm",
    "wishes.edging": "sl_st",
    "wishes.ears.base": "4",
    "wishes.ears.from_centre": "6",
    "wishes.stripes.collar": "cream 6, 2 rust",
    "wishes.stripes.hood": "cream 2, rust 2",
    "wishes.add_ons.1.shape": "cone",
    "wishes.add_ons.1.across": "6",
    "wishes.add_ons.1.long": "12 cm",
    "wishes.add_ons.1.copies": "2",
    "wishes.add_ons.1.colour": "gold",
    "wishes.hand": "left",
    "wishes.turning_chain": "1",
}


def test_all_variants_are_taken_by_the_form_and_told_on_the_page(site: Site) -> None:
    page = site.take(BEAGLE | VARIED)
    told = page.by_id("pattern").text + page.text

    for said in (
        "opening, with buttons", "cream 6, rust 2", "cone, for a horn, 2 times", "chain 1",
        "in the left hand", "Left-handed", "Have ready, gold", "The collar opens",
    ):  # fmt: skip
        assert said in told, said
    asked = site.client.get(f"/api/v1/orders/{site.number()}").json()["asked"]["wishes"]
    assert asked["stripes"]["collar"] == [
        {"colour": "cream", "rows": 6},
        {"colour": "rust", "rows": 2},
    ]
    assert [one["shape"] for one in asked["add_ons"]] == ["cone"]


def test_a_changed_order_keeps_its_variants(site: Site) -> None:
    site.take(BEAGLE | VARIED)
    number = site.number()
    before = site.client.get(f"/api/v1/orders/{number}").json()["asked"]["wishes"]
    form = site.get(f"/orders/{number}/edit").form("")

    site.send(form.action or f"/orders/{number}/edit", form.with_(do="take", notes="soft yarn"))

    after = site.client.get(f"/api/v1/orders/{number}").json()["asked"]
    assert (after["wishes"], after["notes"]) == (before, "soft yarn")


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("wishes.stripes.collar", "stripy", "cream 6, rust 2"),
        ("wishes.stripes.hood", "", "leave both empty"),
        ("wishes.ears.base", "wide", "is not a measurement"),
        ("wishes.ears.from_centre", "1", "decreases"),
        ("wishes.button", "9 cm", "A button measures"),
        ("wishes.add_ons.1.across", "2", "swallowed"),
        ("wishes.add_ons.1.colour", "42", "letters"),
    ],
)
def test_what_cannot_be_made_is_said_beside_its_field_and_nothing_is_lost(
    site: Site, field: str, typed: str, said: str
) -> None:
    page = site.take(BEAGLE | VARIED | {field: typed}, 422)
    # The only shape is moved up to the first place.
    place = field.replace("add_ons.1", "add_ons.0")

    assert said in page.by_id(f"said-{place}").text
    assert page.by_id("wishes.stripes.edging") is not None
    assert site.client.get("/api/v1/orders").json()["orders"] == []


def test_a_collar_that_sticks_is_remedied_by_one_press(site: Site) -> None:
    page = site.take(BEAGLE | {"measurements.head_girth": "56"})
    assert "must stretch" in page.text
    form = page.form("/collar")

    looser = site.send(form.action, form.with_(collar="looser"))
    assert "The collar goes over the head" in looser.text

    order = site.client.get(f"/api/v1/orders/{site.number()}").json()
    opened = site.send(form.action, {"version": [str(order["version"])], "collar": ["buttoned"]})
    assert "The collar opens" in opened.text


def test_a_dog_that_chews_is_offered_a_looser_collar_and_no_buttons(site: Site) -> None:
    sticks = BEAGLE | {"measurements.head_girth": "56"}
    for risks, offered in (("heat", True), ("chewer", False)):
        page = site.take(sticks | {"dog.risks": risks})
        assert ("Let it open with buttons" in page.section("fit")) is offered
        assert "Make the collar looser" in page.section("fit")


def making(site: Site) -> str:
    page = site.take(BEAGLE | {"wishes.stripes.collar": ""})
    for to in ("accepted", "making"):
        page = site.send(page.form("/state").action, page.form("/state").with_(to=to))
    assert "The work differs?" in page.text
    return site.number()


def test_work_that_differs_is_judged_and_the_rest_is_shown(site: Site) -> None:
    number = making(site)
    plan = site.client.get(f"/api/v1/orders/{number}").json()["plan"]
    stitches = plan["pattern"]["parts"][0]["rows"][0]["stitches"]
    form = site.get(f"/orders/{number}/in-hand").form("")
    wide = stitches / plan["gauge"]["rib_stitches"] * 10

    judged = site.send(
        f"/orders/{number}/in-hand",
        form.with_(
            part="collar",
            rows_made="20",
            stitches_now=str(stitches),
            width=f"{wide:.1f}",
            length=f"{20 / plan['gauge']['rib_rows'] * 10:.1f}",
        ),
    )

    assert judged.by_id("verdict").text == "Carry on"
    assert "Go on after row 20" in judged.text
    assert "Top" in judged.text or "Closing" in judged.text


def test_a_piece_that_cannot_be_is_told_beside_its_field(site: Site) -> None:
    number = making(site)
    form = site.get(f"/orders/{number}/in-hand").form("")

    refused = site.send(
        f"/orders/{number}/in-hand",
        form.with_(part="collar", rows_made="many", stitches_now="0", width="", length="21 x"),
        422,
    )

    for field in ("rows_made", "stitches_now"):
        assert refused.by_id(f"said-{field}").text, field
    assert refused.by_id("length").attrs["value"] == "21 x"


def test_a_length_of_a_piece_that_cannot_be_read_is_told(site: Site) -> None:
    number = making(site)
    form = site.get(f"/orders/{number}/in-hand").form("")
    counted = {"part": "collar", "rows_made": "20", "stitches_now": "10"}

    refused = site.send(
        f"/orders/{number}/in-hand", form.with_(**counted, width="", length="21 x"), 422
    )

    for field in ("width", "length"):
        assert refused.by_id(f"said-{field}").text, field
