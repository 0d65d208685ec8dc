"""A form of money sent twice, by a second tap or from another tab, is written down once."""

from tests.pages.site import BEAGLE, Site

NUMBER = "2027-0001"
Sent = dict[str, list[str]]


def paid(site: Site) -> list[str]:
    listed = site.client.get(f"/api/v1/orders/{NUMBER}/money").json()["payments"]
    return [one["amount"] for one in listed]


def filled(site: Site, amount: str) -> tuple[str, Sent]:
    """The form of a payment as the page has it now, filled in."""
    form = site.get(f"/orders/{NUMBER}").form("/payment")
    return form.action, form.with_(amount=amount)


def test_a_second_tap_is_no_second_payment(site: Site) -> None:
    site.take(BEAGLE)
    action, sent = filled(site, "20.00")
    for _ in range(2):
        assert "20.00 paid" in site.send(action, sent).section("money")
    assert paid(site) == ["20.00"]

    site.send(*filled(site, "20.00"))
    assert paid(site) == ["20.00", "20.00"]


def test_another_payment_from_a_page_of_before_is_asked_about_and_kept(site: Site) -> None:
    site.take(BEAGLE)
    action, early = filled(site, "20.00")
    site.send(action, {**early, "amount": ["5.00"]})

    page = site.send(action, early, 422)
    assert "Something was written down here meanwhile" in page.section("money")
    assert "5.00 paid" in page.section("money")
    form = page.form("/payment")
    assert form.values["amount"] == ["20.00"]
    assert paid(site) == ["5.00"]
    site.send(form.action, form.values)
    assert paid(site) == ["5.00", "20.00"]


def test_a_part_is_taken_off_once(site: Site) -> None:
    page = site.take(BEAGLE)
    page = site.send(page.form("/state").action, page.form("/state").with_(to="accepted"))
    site.send(page.form("/invoice").action, page.form("/invoice").values)
    form = site.get(f"/orders/{NUMBER}").form("/credit")
    sent = form.with_(credit_amount="3.00", credit_reason="A loose seam.")
    for _ in range(2):
        site.send(form.action, sent)
    bills = site.client.get(f"/api/v1/orders/{NUMBER}/money").json()["bills"]
    assert [one["total"] for one in bills if one["kind"] == "credit note"] == ["3.00"]

    said = site.send(form.action, {**sent, "credit_amount": ["4.00"]}, 422).section("money")
    assert "Something was written down here meanwhile" in said
