"""What can be promised, on the pages: the form, the order, the queue, the shop's hours."""

import re

import pytest

from tests.pages.site import BEAGLE, Site


def _hours(site: Site, **more: str) -> None:
    form = site.get("/shop").form("/shop")
    hours = {"capacity__hours__monday": "2", "capacity__hours__saturday": "4,5", **more}
    site.send("/shop", form.with_(**hours))


def test_hours_days_off_and_hooks_are_saved_and_read_back(site: Site) -> None:
    off = "2027-04-02\n2027-07-19 to 2027-08-01"
    _hours(site, capacity__off=off, capacity__posting="4", hooks="4, 4,5; 5 mm")

    values = site.get("/shop").form("/shop").values

    assert values["capacity.hours.saturday"] == ["4.5"]
    assert values["capacity.off"] == [off]
    assert values["hooks"] == ["4, 4.5, 5"]
    kept = site.client.get("/api/v1/shop").json()
    assert kept["capacity"]["off"][1] == {"first": "2027-07-19", "last": "2027-08-01"}
    assert kept["hooks"] == [4, 4.5, 5]


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("capacity.off", "Easter", "“Easter” is no day off"),
        ("capacity.off", "2027-13-40", "Write the date"),
        ("capacity.off", "2027-08-01 to 2027-07-01", "end before they begin"),
        ("capacity.hours.monday", "25", "24.0 at most"),
        ("capacity.posting", "many", "plain number"),
        ("hooks", "H-8", "“H-8” is no hook"),
    ],
)
def test_what_cannot_be_read_is_said_beside_its_field(
    site: Site, name: str, text: str, said: str
) -> None:
    form = site.get("/shop").form("/shop")
    page = site.send("/shop", form.values | {name: [text]}, 422)
    assert said in page.said(name)
    assert page.form("/shop").values[name] == [text]


def test_the_form_says_when_a_hood_could_be_ready(site: Site) -> None:
    site.take(BEAGLE)
    assert "Tell your hours under Shop" in site.get("/orders/new").text
    _hours(site)

    page = site.get("/orders/new")
    assert "A usual hood of" in page.text
    assert "could be with the buyer by" in page.text
    page = site.take(BEAGLE | {"due": "2027-03-02"}, do="check")
    assert "This hood could be with the buyer by" in page.text
    assert "That is after the due date." in page.text


def test_an_order_that_pushes_another_says_whom(demo_site: Site) -> None:
    page = demo_site.take(BEAGLE | {"due": "2027-03-05"}, do="check")
    assert "Duchess slips from" in page.text


def test_the_order_s_page_says_it_too(demo_site: Site) -> None:
    said = demo_site.get("/orders/2027-0001").text
    told = re.search(
        r"In the queue it is with the buyer by ([^,.]+)(?:, safely by ([^,.]+))?\.", said
    )
    assert told
    assert told[1] != told[2]  # one day is not said twice
    assert "Accepted today, it could be with" in demo_site.get("/orders/2027-0003").text
    text = demo_site.get("/orders/2027-0006").text
    assert "In the queue" not in text
    assert "Accepted today" not in text


def test_the_queue_shows_the_dates_and_who_will_be_late(demo_site: Site) -> None:
    page = demo_site.get("/queue")
    assert page.text.index("Pipkin") < page.text.index("Duchess")
    assert "with the buyer by" in page.text
    assert "/orders/2027-0002/edit#due" in page.links()


def test_an_empty_queue_says_so(site: Site) -> None:
    page = site.get("/queue")
    assert "Nothing waits to be made" in page.text
    assert "No hours yet" in page.text


def test_a_hook_that_is_not_owned_is_told(site: Site) -> None:
    _hours(site, hooks="4 4.5")
    page = site.take(BEAGLE)
    assert "You own none of this size; the nearest is 4.5 mm" in page.text


def test_moving_an_order_says_whom_it_overtakes_and_no_other(demo_site: Site) -> None:
    edit = "/orders/2027-0002/edit"
    form = demo_site.get(edit).form()
    stays = demo_site.send(edit, form.with_(do="check"))
    assert "slips" not in stays.text
    sooner = demo_site.send(edit, form.with_(do="check", due="2027-03-02"))
    assert "slips" not in sooner.text  # what is on the hook is not overtaken
    body = BEAGLE | {"dog.name": "Sorrel", "due": "2027-03-12"}
    page = demo_site.take(body)
    page = demo_site.send(page.form("/state").action, page.form("/state").with_(to="accepted"))
    moved = demo_site.send(edit, form.with_(do="check", due="2027-03-11"))
    assert "Sorrel slips from" in moved.text
    assert "Pipkin slips" not in moved.text
