"""The pages of the shelf: lots, swatches, what is reserved, and the shopping list."""

from tests.pages.site import BEAGLE, Site

SWATCH = {
    "swatch.rib_stitches": "13", "swatch.rib_rows": "15", "swatch.plain_stitches": "13",
    "swatch.plain_rows": "14,5", "swatch.hook_mm": "5", "swatch.name": "washed twice",
}  # fmt: skip


def test_a_lot_is_counted_anew(demo_site: Site) -> None:
    form = demo_site.get("/yarns/1").form("/yarns/1")
    assert form.values["yarn.lots.0.lot"] == ["K 214"]

    page = demo_site.send("/yarns/1", form.with_(yarn__lots__0__balls="7,5"))

    assert demo_site.at == "/yarns"
    assert "lot K 214 7.5 balls left" in page.text


def test_a_wrong_lot_is_said_beside_its_field_and_nothing_is_lost(demo_site: Site) -> None:
    form = demo_site.get("/yarns/1").form("/yarns/1")
    page = demo_site.send("/yarns/1", form.with_(yarn__lots__0__balls="some"), 422)
    assert "plain number" in page.said("yarn.lots.0.balls")
    assert page.form("/yarns/1").values["yarn.lots.0.balls"] == ["some"]
    twice = {"yarn__lots__2__lot": "K 214", "yarn__lots__2__balls": "1"}
    page = demo_site.send("/yarns/1", form.with_(**twice), 422)
    assert "stand there twice" in page.said("yarn.lots.2.lot")
    assert page.unlabelled() == []


def test_a_stale_count_shows_what_is_kept_beside_it(demo_site: Site) -> None:
    mine = demo_site.get("/yarns/1").form("/yarns/1")
    demo_site.send("/yarns/1", mine.with_(yarn__lots__0__balls="6"))

    page = demo_site.send("/yarns/1", mine.with_(yarn__lots__0__balls="9"), 412)

    assert page.said("yarn.lots.0.balls") == "Kept now: 6"
    demo_site.send("/yarns/1", page.form("/yarns/1").with_())
    assert "lot K 214 9 balls left" in demo_site.get("/yarns").text


def test_a_yarn_is_taken_off_the_shelf(demo_site: Site) -> None:
    form = demo_site.get("/yarns/4").form("/remove")
    page = demo_site.send("/yarns/4/remove", form.values)
    assert "Grebe Chunky" not in page.text
    demo_site.get("/yarns/4", 404)


def test_reserved_yarn_is_told_lot_by_lot(demo_site: Site) -> None:
    page = demo_site.get("/yarns")
    assert "lot K 214" in page.text
    assert "for Pipkin" in page.text
    assert "/orders/2027-0001" in page.links()
    assert page.unlabelled() == []


def test_the_shopping_list_says_what_to_buy_and_how_sure_that_is(demo_site: Site) -> None:
    form = demo_site.get("/yarns/1").form("/yarns/1")
    demo_site.send("/yarns/1", form.with_(yarn__lots__0__balls="0,2"))

    page = demo_site.get("/yarns/shopping")

    assert "of Brackwater Aran, lot K 214" in page.text
    assert "% probability, beside the 0.2 balls you have" in page.text
    assert "Kluska" not in page.text
    assert "Kluska" in demo_site.get("/yarns/shopping?asked=1").text
    assert "runs short: buy" in demo_site.get("/yarns").text


def test_an_empty_list_says_so(site: Site) -> None:
    assert "nothing to buy" in site.get("/yarns/shopping").text


def test_a_swatch_is_kept_and_fills_an_order_with_one_press(site: Site) -> None:
    site.take(BEAGLE)
    page = site.get("/yarns/1")
    form = page.form("/swatches")
    page = site.send("/yarns/1/swatches", form.values | {n: [t] for n, t in SWATCH.items()})
    assert "washed twice" in page.section("swatches")

    page = site.take({"dog.breed": "Beagle", "use": "swatch=1"}, do="")

    values = page.form().values
    assert values["swatch.rib_rows"] == ["15"]
    assert values["swatch.plain_rows"] == ["14.5"]
    assert values["yarn_choice"] == ["1"]
    assert values["dog.breed"] == ["Beagle"]
    form = site.get("/yarns/1").form("/swatches/1/remove")
    assert "washed twice" not in site.send(form.action, form.values).text


def test_a_ball_that_can_hardly_be_is_asked_after(site: Site) -> None:
    form = site.get("/yarns").form("/yarns")
    typed = {"yarn.name": ["Larkspur"], "yarn.ball_metres": ["1700"], "yarn.ball_grams": ["100"]}
    typed |= {"yarn.ball_price": ["5"], "yarn.weight_class": ["4"]}
    page = site.send("/yarns", form.values | typed)
    asks = "Is a point one place off: 170 m, or 1000 g?"
    assert asks in page.text

    page = site.take(BEAGLE | {name: text for name, (text,) in typed.items()})
    assert asks in page.by_id("ball").text
    accept = next(f for f in page.forms("/accept") if f.values["field"] == ["ball"])
    page = site.send(accept.action, accept.with_(reason="a cobweb yarn held fourfold"))
    assert "Accepted as it is" in page.by_id("ball").text
    assert "ball of the yarn" not in site.get("/").text


def test_a_weight_that_can_hardly_be_is_asked_after_wherever_the_swatch_goes(site: Site) -> None:
    site.take(BEAGLE)
    form = site.get("/yarns/1").form("/swatches")
    slipped = {"swatch.weighed_grams": ["210"], "swatch.weighed_stitches": ["540"]}
    counted = {name: [text] for name, text in SWATCH.items()} | slipped
    page = site.send("/yarns/1/swatches", form.values | counted)
    odd = "210 g may be 21 g, with its point one place off."
    assert odd in page.section("swatches")

    typed = {name: text for name, (text,) in counted.items() if name != "swatch.name"}
    page = site.take(BEAGLE | typed)
    assert odd in page.text
    assert "Weight of the swatch" in page.text
    assert "The two do not agree" in page.section("yarn")
    assert f"/orders/{site.number()}/edit#swatch.weighed_grams" in page.links()
    assert "Look again at Pipkin\u2019s weight of the swatch" in site.get("/").text


def test_a_count_that_can_hardly_be_is_asked_after_wherever_the_swatch_goes(site: Site) -> None:
    site.take(BEAGLE)
    form = site.get("/yarns/1").form("/swatches")
    counted = {name: [text] for name, text in SWATCH.items()} | {"swatch.rib_rows": ["51"]}
    page = site.send("/yarns/1/swatches", form.values | counted)
    odd = "51 may be 15, two digits swapped."
    assert odd in page.section("swatches")

    typed = {name: text for name, (text,) in counted.items() if name != "swatch.name"}
    page = site.take(BEAGLE | typed)
    assert odd in page.text
    assert "Look again at Pipkin\u2019s rib rows of the swatch" in site.get("/").text
    assert f"/orders/{site.number()}/edit#swatch.rib_rows" in page.links()
    # The maker has counted again, and says so.
    accept = next(f for f in page.forms("/accept") if f.values["field"] == ["rib_rows"])
    page = site.send(accept.action, accept.with_(reason="a hard twisted yarn, counted twice"))
    assert "Accepted as it is: a hard twisted yarn" in page.by_id("rib_rows").text
    assert "ib rows of the swatch accepted as it is" in page.text
    assert "Look again" not in site.get("/").text
    # Other counts are another swatch: it is asked again.
    address = f"/orders/{site.number()}/edit"
    edit = site.get(address).form()
    page = site.send(address, edit.with_(swatch__rib_rows="52", do="take"))
    assert page.by_id("rib_rows").text
    assert "Look again at Pipkin\u2019s rib rows" in site.get("/").text


def test_a_wrong_swatch_is_said_beside_its_field(demo_site: Site) -> None:
    form = demo_site.get("/yarns/1").form("/swatches")
    typed = form.values | {n: [t] for n, t in SWATCH.items()}
    page = demo_site.send("/yarns/1/swatches", typed | {"swatch.rib_rows": [""]}, 422)
    assert page.said("swatch.rib_rows") == "Please fill this in."
    page = demo_site.send("/yarns/1/swatches", typed | {"swatch.rib_stitches": ["900"]}, 422)
    assert page.form("/swatches").values["swatch.rib_stitches"] == ["900"]
    assert "another look" in page.text


def test_the_order_asks_after_swatch_and_ball_as_it_takes_shape(site: Site) -> None:
    form = site.get("/orders/new").form()
    swatch = SWATCH | {"swatch.rib_rows": "51"}
    del swatch["swatch.name"]
    band = {"yarn.ball_metres": "17"}
    typed = form.values | {name: [text] for name, text in (BEAGLE | swatch | band).items()}

    page = site.send("/orders/shape", typed)
    assert "51 may be 15, two digits swapped." in page.root.text
    assert "Is a point one place off: 170 m" in page.root.text
    assert {"#swatch.rib_rows", "#yarn.ball_metres"} <= set(page.links())
    # What is on the shelf has its own page: here another yarn is chosen.
    site.send("/orders/new", typed | {"shelve": ["yes"], "do": ["take"]})
    page = site.send("/orders/shape", typed | {"yarn_choice": ["1"]})
    assert "#yarn_choice" in page.links()
    # A number of the dog stands beside its field, and not here.
    page = site.send("/orders/shape", typed | {"measurements.neck_girth": ["45"]})
    assert "neck" not in page.root.text
    sound = form.values | {name: [text] for name, text in BEAGLE.items()}
    assert "Look again" not in site.send("/orders/shape", sound).root.text
    # What is lacking is named, for the field may be far up the page.
    page = site.send("/orders/shape", sound | {"yarn.ball_grams": ["some"]})
    assert "Grams in a ball: " in page.root.text
