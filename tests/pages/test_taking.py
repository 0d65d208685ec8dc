"""Taking an order with the form alone, without script."""

import pytest

from tests.pages.site import BEAGLE, WRONG_NECK, Site

PATTERN = "Rows 2\u2013"


def test_the_form_asks_for_all_and_labels_it(site: Site) -> None:
    page = site.get("/orders/new")

    assert page.unlabelled() == []
    assert page.by_id("breeds").all("option")[0].attrs["value"] == "Affenpinscher"
    assert [t.attrs["data-field"] for t in page.root.all("g")] == [
        "neck_length", "neck_girth", "nape_length", "face_girth",
    ]  # fmt: skip


def test_a_right_order_leads_to_its_plan(site: Site) -> None:
    page = site.take(BEAGLE)

    assert site.number() == "2027-0001"
    assert page.heading == "Pipkin"
    assert PATTERN in page.section("pattern")
    assert "Chain 1" in page.text
    assert "EUR" in page.section("price")


def test_a_wrong_number_is_kept_found_and_corrected(site: Site) -> None:
    page = site.take(WRONG_NECK)

    assert "Settle the neck girth" in page.text
    assert "14.5 looks like inches: 36.85 cm? That is likely (" in page.by_id("neck_girth").text
    assert not any("pdf" in link for link in page.links())

    correct = page.form("/correct")
    assert correct.values["value"] == ["36.85 cm"]
    page = site.send(correct.action, correct.values)

    assert "Settle" not in page.text
    assert "36.85 cm" in page.by_id("neck_girth").text
    assert PATTERN in page.text
    assert any("work-ticket.pdf" in link for link in page.links())
    assert "Neck girth from “14.5” to “36.85 cm”." in page.text


def test_a_stop_can_be_accepted_with_a_reason(site: Site) -> None:
    page = site.take(WRONG_NECK)
    accept = page.form("/accept")

    refused = site.send(accept.action, accept.with_(reason="no"), 422)
    assert "Say in a few words" in refused.by_id("wrong-reason-neck_girth").text
    page = site.send(accept.action, accept.with_(reason="a puppy, measured twice"))

    assert "Accepted as it is: a puppy, measured twice" in page.by_id("neck_girth").text
    assert PATTERN in page.text
    assert "Neck girth accepted as it is: “a puppy, measured twice”." in page.text


def test_an_unreadable_correction_is_said_beside_the_number(site: Site) -> None:
    correct = site.take(WRONG_NECK).form("/correct")

    page = site.send(correct.action, correct.with_(value="about 37"), 422)

    assert "“about 37”" in page.by_id("wrong-neck_girth").text
    assert page.form("/correct").values["value"] == ["about 37"]


def test_check_the_numbers_stores_nothing_and_says_all(site: Site) -> None:
    page = site.take(WRONG_NECK | {"measurements.face_girth": "9**9 cm"}, do="check")

    assert "looks like inches" in page.said("measurements.neck_girth")
    assert "“9**9 cm” is not a measurement" in page.said("measurements.face_girth")
    assert site.count() == 0
    assert page.form().values["buyer.name"] == ["Tilda Fenwright"]


def test_the_suggestion_s_button_puts_it_in_the_field(site: Site) -> None:
    page = site.take(WRONG_NECK, do="check")
    use = next(b for b in page.root.all("button") if b.attrs.get("name") == "use")

    page = site.send("/orders/new", page.form().with_(use=use.attrs["value"]))

    assert page.form().values["measurements.neck_girth"] == ["36.85 cm"]
    assert page.said("measurements.neck_girth") == ""


def test_enter_in_a_field_checks_and_never_uses_a_suggestion(site: Site) -> None:
    page = site.take(WRONG_NECK, do="check")
    form = next(one for one in page.root.all("form") if one.attrs.get("method") == "post")

    assert form.all("button")[0].attrs["value"] == "check"


def test_a_double_submit_is_one_order(site: Site) -> None:
    form = site.get("/orders/new").form()
    sent = form.values | {name: [text] for name, text in BEAGLE.items()} | {"do": ["take"]}

    site.send("/orders/new", sent)
    first = site.number()
    site.send("/orders/new", sent)

    assert site.number() == first
    assert site.count() == 1
    assert len(site.client.get("/api/v1/yarns").json()) == 1


def test_a_used_form_with_another_order_asks_first(site: Site) -> None:
    form = site.get("/orders/new").form()
    sent = form.values | {name: [text] for name, text in BEAGLE.items()} | {"do": ["take"]}
    site.send("/orders/new", sent)

    page = site.send("/orders/new", sent | {"dog.name": ["Moth"]}, 422)
    assert "has made an order already" in page.text
    again = page.form()
    assert again.values["key"] != form.values["key"]
    site.send("/orders/new", again.with_(do="take"))

    assert site.count() == 2


def test_a_new_yarn_goes_on_the_shelf_when_asked(site: Site) -> None:
    site.take(BEAGLE)
    options = site.get("/orders/new").by_id("yarn_choice").all("option")

    assert [option.text for option in options] == [
        "choose a yarn", "Brackwater Aran", "another yarn, described below",
    ]  # fmt: skip
    site.take(BEAGLE | {"yarn_choice": "1"})
    assert site.count() == 2


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("dog.weight", "heavy", "“heavy” is not a measurement"),
        ("measurements.nape_length", "", "Please fill this in."),
        ("measurements.nape_length", "-3 cm", "“-3 cm”"),
        ("buyer.name", " ", "Please fill this in."),
        ("yarn.name", "", "Please fill this in."),
        ("yarn.fibres.0.percent", "80", "add up to 100 percent"),
        ("yarn.fibres.0.percent", "most", "plain number"),
        ("yarn.ball_metres", "1,200", "thousands or decimals"),
        ("yarn.ball_grams", "0", "more than 0"),
        ("yarn.ball_grams", "9" * 400, "plain number"),
        ("yarn.weight_class", "9", "choose one"),
        ("yarn_choice", "", "Choose a yarn"),
        ("yarn_choice", "77", "Choose a yarn"),
        ("due", "tomorrow", "year-month-day"),
        ("dog.head", "square", "choose one"),
        ("hook_mm", "99", "from 0.5 to 30 mm"),
        ("unit", "ell", "choose one"),
    ],
)
def test_bad_input_is_said_beside_its_field(site: Site, name: str, text: str, said: str) -> None:
    page = site.take(BEAGLE | {name: text}, 422)

    place = "yarn.fibres.0.fibre" if "add up" in said else name
    assert said in page.said(place)
    assert page.form().values["dog.name"] == ["Pipkin"]
    assert page.form().values["measurements.neck_girth"] == ["35.5"]
    assert site.count() == 0


def test_what_is_wrong_is_listed_first_by_the_names_of_the_fields(site: Site) -> None:
    page = site.take(BEAGLE | {"buyer.name": "", "unit": "ell"}, 422)
    listed = page.root.all("ul")[0].all("a")

    assert [(one.text, one.attrs["href"]) for one in listed] == [
        ("A number without a unit is in: Please choose one from the list.", "#unit"),
        ("Name of the buyer: Please fill this in.", "#buyer.name"),
    ]
    for one in listed:
        assert page.by_id(one.attrs["href"][1:]).tag in {"input", "fieldset"}


def test_a_half_filled_swatch_says_what_is_missing(site: Site) -> None:
    page = site.take(BEAGLE | {"swatch.rib_stitches": "13"}, 422)

    assert page.said("swatch.rib_rows") == "Please fill this in."


def test_an_order_in_inches_and_uk_terms(site: Site) -> None:
    lengths = {
        "measurements.neck_length": "3",
        "measurements.neck_girth": "14 1/2",
        "measurements.nape_length": "4½ in",
        "measurements.face_girth": '15"',
    }
    page = site.take(BEAGLE | lengths | {"unit": "in", "terms": "UK"})

    assert "14 1/2 in" in page.by_id("neck_girth").text
    assert "1 dc in" in page.text
    assert "1 sc in" not in page.text
    assert " yd (" in page.text


def test_fibres_with_a_gap_are_moved_together(site: Site) -> None:
    blend = {
        "yarn.fibres.0.fibre": "",
        "yarn.fibres.0.percent": "",
        "yarn.fibres.1.fibre": "wool",
        "yarn.fibres.1.percent": "75",
        "yarn.fibres.2.fibre": "polyamide",
        "yarn.fibres.2.percent": "25",
    }
    assert "75 % wool, 25 % polyamide" in site.take(BEAGLE | blend).text
