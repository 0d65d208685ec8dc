"""The journey of a fit: handed over, told, and the dog's next hood made by it with one press."""

from playwright.sync_api import Browser

from tests.entering import BEARER
from tests.pages.site import BEAGLE, Site
from tests.pages.visitor import PHONE, visit


def _hand_over(site: Site) -> str:
    page = site.take(BEAGLE)
    number = site.number()
    for to in ("accepted", "making", "finished", "handed over"):
        form = page.form("/state")
        page = site.send(form.action, form.with_(to=to, note="the sheet lies in the parcel"))
    return number


def _tell(site: Site, number: str, **told: str) -> None:
    form = site.get(f"/orders/{number}").form("/outcome")
    site.send(form.action, form.with_(**told))


def test_a_loose_collar_is_a_suggestion_that_one_press_takes(site: Site) -> None:
    first = _hand_over(site)
    _tell(site, first, collar="loose", note="slides over the ears")
    page = site.take(BEAGLE)
    number = site.number()

    said = page.by_id("suggested").text

    assert f"{first}: collar loose: \u201cslides over the ears\u201d" in said
    assert "instead of" in said
    assert "tighter" in said
    form = page.form("/fitting")
    press = page.by_id("suggested").all("button")[0]
    assert press.text.startswith("Take it: collar ")
    learned = press.text.removeprefix("Take it: collar ")
    page = site.send(form.action, form.with_(take=press.attrs["value"]))
    assert site.number() == number
    assert "Planned by earlier hoods." in page.by_id("suggested").text
    sizes = page.section("size")
    assert learned in sizes

    form, press = page.form("/fitting"), page.by_id("suggested").all("button")[0]
    assert press.text == "Make it as usual"
    page = site.send(form.action, form.with_(take=press.attrs["value"]))
    assert learned not in page.section("size")


def test_a_tight_collar_is_reckoned_with_at_once_and_says_so(site: Site) -> None:
    _tell(site, _hand_over(site), collar="tight")
    page = site.take(BEAGLE)
    assert "Planned by earlier hoods." in page.by_id("suggested").text
    assert "looser" in page.by_id("suggested").text


def test_a_first_hood_has_no_suggestion(site: Site) -> None:
    assert "suggested" not in site.take(BEAGLE).html


def test_the_press_is_large_enough_on_the_phone(browser: Browser, address: str) -> None:
    with visit(browser, address, PHONE, scheme="dark") as visitor:
        api = visitor.page.request
        body = api.get(f"{address}/api/v1/orders/2027-0006", headers=BEARER).json()
        tag = {**BEARER, "If-Match": f'"{body["version"]}"'}
        told = api.put(
            f"{address}/api/v1/orders/2027-0006/outcome", data={"collar": "loose"}, headers=tag
        )
        assert told.ok
        taken = api.post(f"{address}/api/v1/orders", data=body["asked"], headers=BEARER)
        number = taken.json()["number"]
        visitor.go(f"/orders/{number}")
        visitor.follow(visitor.page.get_by_role("button", name="Take it: collar"))
        assert visitor.page.get_by_text("Planned by earlier hoods.").is_visible()
