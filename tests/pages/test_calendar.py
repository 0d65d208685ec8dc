"""The calendar's page: an address is made, shown once, used, and taken back."""

from icalendar import Calendar
from playwright.sync_api import Browser

from tests.pages.site import Site
from tests.pages.visitor import PHONE, WIDE, visit


def test_an_address_is_made_shown_once_used_and_taken_back(demo_site: Site) -> None:
    assert "/queue/calendar" in demo_site.get("/queue").links()
    form = demo_site.get("/queue/calendar").form("/queue/calendar")

    page = demo_site.send("/queue/calendar", form.with_(hook="true"))

    address = page.by_id("calendar-address").raw.strip()
    path = address.removeprefix("http://testserver")
    assert path.endswith(".ics?hook=true")
    found = Calendar.from_ical(demo_site.client.get(path).content).events
    assert {"Pipkin: hood due, 2027-0001", "Pipkin: at the hook, 2027-0001"} <= {
        str(one["summary"]) for one in found
    }
    again = demo_site.get("/queue/calendar")
    assert "An address made" in again.text
    assert address[-40:-14] not in again.html
    demo_site.send("/queue/calendar/takeback", again.form("takeback").values)
    assert demo_site.client.get(path).status_code == 404
    assert "An address made" not in demo_site.get("/queue/calendar").text


def test_the_file_is_one_to_keep(demo_site: Site) -> None:
    page = demo_site.get("/queue/calendar")
    counts = []
    for link in ("/queue/calendar.ics", "/queue/calendar.ics?hook=true"):
        assert link in page.links()
        answer = demo_site.client.get(link)
        assert 'attachment; filename="hoods.ics"' in answer.headers["content-disposition"]
        counts.append(len(Calendar.from_ical(answer.content).events))
    assert counts == [6, 8]


def test_an_address_that_never_was_is_told_so(demo_site: Site) -> None:
    demo_site.send("/queue/calendar/takeback", {"link": ["77"]}, 404)
    demo_site.send("/queue/calendar/takeback", {"link": ["x"]}, 404)


def test_it_can_be_used_wide_and_on_the_phone(browser: Browser, address: str) -> None:
    for width in (WIDE, PHONE):
        with visit(browser, address, width) as visitor:
            visitor.go("/queue/calendar")
            visitor.page.get_by_label("With the days at the hook").check()
            visitor.follow(visitor.page.get_by_role("button", name="Make an address"))
            assert visitor.page.get_by_label("The address").input_value().endswith("?hook=true")
