"""The list of orders."""

from tests.pages.site import BEAGLE, WRONG_NECK, Site


def _cards(text: str, *names: str) -> list[int]:
    return [text.index(name) for name in names]


def test_an_empty_shop_says_how_to_begin(site: Site) -> None:
    assert "No order yet" in site.get("/orders").text


def test_due_next_stands_first_and_all_follow_newest_first(demo_site: Site) -> None:
    page = demo_site.get("/orders")
    soon, every = page.section("soon"), page.section("all")

    places = _cards(soon, "Pipkin", "Duchess", "Kluska")
    assert places == sorted(places)
    assert "in 9 days" in soon
    places = _cards(every, "Moth", "Feijão", "Björn", "Kluska", "Duchess", "Pipkin")
    assert places == sorted(places)


def test_a_number_to_settle_is_marked(site: Site) -> None:
    site.take(WRONG_NECK)
    assert "a number to settle" in site.get("/orders").text
    site.send("/orders/2027-0001/state", {"version": ["1"], "to": ["cancelled"]})
    assert "a number to settle" not in site.get("/orders").text


def test_words_and_state_narrow_the_list(demo_site: Site) -> None:
    page = demo_site.get("/orders?q=tilda+pipkin")
    assert "Pipkin" in page.text
    assert "Moth" not in page.text
    page = demo_site.get("/orders?state=quoted")
    assert "Kluska" in page.text
    assert "Pipkin" not in page.text
    assert page.by_id("state").all("option")[2].attrs.get("selected") == ""
    assert "No order fits" in demo_site.get("/orders?q=nobody").text
    assert "Pipkin" in demo_site.get("/orders?state=no+such").text


def test_an_old_due_date_is_said_until_the_hood_is_finished(site: Site) -> None:
    site.take(BEAGLE | {"due": "2027-02-27"})
    assert "2 days late" in site.get("/orders").text


def test_older_orders_are_a_link_away(site: Site) -> None:
    for _ in range(51):
        site.take(BEAGLE | {"yarn_choice": "new"})
    page = site.get("/orders")
    older = next(link for link in page.links() if "cursor=" in link)

    page = site.get(older)

    assert "2027-0001" in page.text
    assert "2027-0002" not in page.text
    assert page.by_id("all").text == "Older orders"
