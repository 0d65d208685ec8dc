"""The shelf and the shop."""

from tests.pages.reading import Page
from tests.pages.site import Site


def _yarn(site: Site, status: int = 200, **changes: str) -> Page:
    form = site.get("/yarns").form("/yarns")
    new = {"yarn__name": "Tansy", "yarn__ball_metres": "110", "yarn__ball_grams": "50"}
    return site.send("/yarns", form.with_(**(new | changes)), status)


def test_a_yarn_is_put_on_the_shelf(site: Site) -> None:
    page = _yarn(
        site, yarn__ball_price="3,95", yarn__lots__0__lot="3307", yarn__lots__0__balls="2,5"
    )

    assert site.at == "/yarns"
    assert "Tansy" in page.text
    assert "3.95 EUR" in page.text
    assert "lot 3307 2.5 balls left nothing reserved" in page.text
    assert page.unlabelled() == []


def test_a_wrong_yarn_is_said_beside_its_field(site: Site) -> None:
    page = _yarn(site, 422, yarn__fibres__0__percent="90")
    assert "add up to 100" in page.said("yarn.fibres.0.fibre")
    assert page.form("/yarns").values["yarn.name"] == ["Tansy"]
    assert "0 or more" not in page.text
    page = _yarn(site, 422, yarn__ball_metres="")
    assert page.said("yarn.ball_metres") == "Please fill this in."
    page = _yarn(site, 422, yarn__ball_metres="0.01")
    assert "A ball has from 1" in page.said("yarn.ball_metres")
    page = _yarn(site, 422, yarn__name="")
    assert page.said("yarn.name") == "Please fill this in."


def test_the_shop_is_saved_in_percent_and_read_back(site: Site) -> None:
    page = site.get("/shop")
    assert page.unlabelled() == []
    changes = {
        "name": "Weir Hoods",
        "address": "1 Weir\nMarrowfield",
        "rates__currency": "GBP",
        "rates__wage_per_hour": "18,50",
        "rates__overhead": "12.5 %",
        "rates__tax": "19",
        "rates__pace__sc": "22",
    }
    page = site.send("/shop", page.form().with_(**changes))

    assert "Saved." in page.text
    values = page.form().values
    assert values["rates.overhead"] == ["12.5"]
    assert values["rates.tax"] == ["19"]
    assert values["rates.pace.sc"] == ["22"]
    assert values["rates.margin"] == [""]
    assert values["address"] == ["1 Weir\nMarrowfield"]
    kept = site.client.get("/api/v1/shop").json()
    assert kept["rates"]["overhead"] == "0.125"
    assert kept["rates"]["wage_per_hour"] == "18.50"


def test_wrong_rates_are_said_beside_their_fields(site: Site) -> None:
    form = site.get("/shop").form()

    def said(name: str, text: str) -> str:
        return site.send("/shop", form.values | {name: [text]}, 422).said(name)

    assert "plain number" in said("rates.wage_per_hour", "a lot")
    assert "thousands or decimals" in said("rates.wage_per_hour", "1,500")
    assert "from 0 to 90%" in said("rates.margin", "95")
    assert "at most" in said("rates.overhead", "150")
    assert "choose one" in said("paper", "A5")
    assert "not known" in said("rates.currency", "XXX")


def test_a_stale_shop_keeps_what_was_typed(site: Site) -> None:
    mine = site.get("/shop").form()
    site.send("/shop", mine.with_(name="First"))

    page = site.send("/shop", mine.with_(name="Second"), 412)

    assert page.form().values["name"] == ["Second"]
    assert page.said("name") == "Kept now: First"
    page = site.send("/shop", page.form().with_())
    assert page.form().values["name"] == ["Second"]
