"""On the order's page: what a price earns, the message to the owner, a doubt about the weight."""

from decimal import Decimal
from io import BytesIO

import pytest
from pypdf import PdfReader

from tests.pages.site import BEAGLE, WRONG_NECK, Site

LARGE = {
    **BEAGLE,
    "dog.breed": "",
    "dog.weight": "26 lb 4 oz",
    "measurements.neck_length": "14",
    "measurements.neck_girth": "63",
    "measurements.nape_length": "21",
    "measurements.face_girth": "66.5",
}


def test_the_asked_price_itself_earns_at_least_the_wage(site: Site) -> None:
    site.take(BEAGLE)
    number = site.number()
    price = site.client.get(f"/api/v1/orders/{number}").json()["plan"]["price"]["total"]

    said = site.get(f"/orders/{number}?at={price.replace('.', ',')}").by_id("earning").text

    assert said.startswith(f"At {price} EUR an hour of this work earns you ")
    hourly = said.rstrip(".").rpartition(" ")[2]
    assert Decimal(hourly) >= 15
    # Without asking it is told of the price itself, and over the wire.
    assert site.get(f"/orders/{number}").by_id("earns").text.startswith(f"Earns you {hourly} EUR")
    address = f"/api/v1/orders/{number}/earnings"
    own, more = (site.client.get(address, params=q).json() for q in ({}, {"paid": "100.00"}))
    assert own == {"paid": price, "per_hour": hourly, "currency": "EUR"}
    assert Decimal(more["per_hour"]) > Decimal(hourly)
    assert site.client.get(address, params={"paid": "0"}).status_code == 422
    stopped = site.take(WRONG_NECK)
    assert "Earns you" not in stopped.text
    assert site.client.get(f"/api/v1/orders/{site.number()}/earnings").status_code == 409


@pytest.mark.parametrize(
    "typed", ["NaN", "Infinity", "-3", "0", "forty", "1e400", "<b>", "1_0_0x"]
)
def test_a_price_that_is_none_is_refused_in_words(site: Site, typed: str) -> None:
    site.take(BEAGLE)

    said = site.client.get(f"/orders/{site.number()}", params={"at": typed})

    assert said.status_code == 200
    assert "Write the price as a number" in said.text or "A price is more than 0" in said.text


def test_a_doubtful_number_comes_with_a_message_to_the_owner(site: Site) -> None:
    page = site.take(WRONG_NECK)

    message = page.by_id("ask-owner").text

    assert "Pipkin" in message
    assert "14.5 cm" in message
    assert message.startswith("Could you")


def test_a_number_that_was_accepted_or_is_on_the_hook_asks_nothing_more(site: Site) -> None:
    page = site.take(WRONG_NECK)
    accept = page.form("/accept")
    taken = site.send(accept.action, accept.with_(reason="measured twice"))

    assert "A message to the owner" not in taken.text
    assert not [one for one in taken.root.all("script") if "copy" in one.attrs.get("src", "")]


def test_a_query_comes_with_a_message_until_the_hood_is_on_the_hook(site: Site) -> None:
    doubtful = BEAGLE | {"measurements.neck_girth": "53"}
    page = site.take(doubtful)
    assert "Look again" in page.by_id("neck_girth").text
    assert "Pipkin's neck" in page.by_id("ask-owner").text

    for to in ("accepted", "making"):
        page = site.send(page.form("/state").action, page.form("/state").with_(to=to))

    assert "A message to the owner" not in page.text


def test_a_query_that_the_maker_settled_is_not_asked_again(site: Site) -> None:
    page = site.take(BEAGLE | {"measurements.neck_girth": "53"})
    number = site.number()
    assert "Look again at Pipkin\u2019s neck girth" in site.get("/").text

    accept = page.form("/accept")
    page = site.send(accept.action, accept.with_(reason="a stout dog, measured twice"))

    assert "Accepted as it is: a stout dog" in page.by_id("neck_girth").text
    assert page.forms("/accept") == []
    assert "A message to the owner" not in page.text
    assert "Look again" not in site.get("/").text
    ticket = site.client.get(f"/api/v1/orders/{number}/work-ticket.pdf").content
    printed = " ".join(PdfReader(BytesIO(ticket)).pages[0].extract_text().split())
    assert "Reason: a stout dog, measured twice" in printed
    # Another number is another question.
    correct = page.form("/correct")
    page = site.send(correct.action, correct.with_(value="54 cm"))
    assert len(page.forms("/accept")) == 1


def test_a_weight_in_doubt_is_shown_as_it_was_given(site: Site) -> None:
    page = site.take(LARGE)

    assert "26 lb 4 oz" in page.by_id("weight").text
    form = next(f for f in page.forms("/correct") if f.values["field"] == ["weight"])
    assert form.values["value"] == ["26 lb 4 oz"]
    refused = site.send(form.action, form.with_(value="heavy"), 422)
    assert "“heavy” is not a measurement" in refused.by_id("wrong-weight").text


def test_numbers_in_order_ask_the_owner_nothing(site: Site) -> None:
    assert "A message to the owner" not in site.take(BEAGLE).text


def test_a_weight_that_fits_no_length_is_settled_by_correcting_it(site: Site) -> None:
    page = site.take(LARGE)
    assert "Settle the weight" in page.text
    address = f"/orders/{site.number()}/correct"

    form = next(f for f in page.forms(address) if f.values["field"] == ["weight"])

    mended = site.send(address, form.with_(value="62 kg"))

    assert "Settle" not in mended.text
    assert "Hood" in mended.text


def test_a_weight_that_fits_no_length_can_be_accepted_until_a_length_changes(site: Site) -> None:
    page = site.take(LARGE)
    address = f"/orders/{site.number()}"

    taken = site.send(
        f"{address}/accept", page.form(f"{address}/accept").with_(reason="A very large head.")
    )
    assert "Accepted as it is: A very large head." in taken.text
    form = site.get(f"{address}/edit").form()
    changed = site.send(f"{address}/edit", form.with_(do="take", measurements__neck_girth="64"))

    assert "Settle the weight" in changed.text
