"""Changing an order and moving it on."""

from service.bodies import OrderIn
from service.web.pages.history import CALLED
from tests.pages.site import BEAGLE, WRONG_NECK, Site


def test_the_edit_form_is_filled_and_saves(site: Site) -> None:
    site.take(
        BEAGLE
        | {
            "swatch.rib_stitches": "13",
            "swatch.rib_rows": "15",
            "swatch.plain_stitches": "13",
            "swatch.plain_rows": "14,5",
            "dog.risks": "chewer",
            "notes": "two lines\nof notes",
            "due": "2027-04-01",
        }
    )
    address = f"/orders/{site.number()}/edit"
    form = site.get(address).form()

    assert form.values["measurements.nape_length"] == ["11,5 cm"]
    assert form.values["swatch.plain_rows"] == ["14.5"]
    assert form.values["swatch.rib_rows"] == ["15"]
    assert form.values["dog.risks"] == ["chewer"]
    assert form.values["notes"] == ["two lines\nof notes"]
    assert form.values["yarn_choice"] == ["kept"]

    page = site.send(address, form.with_(do="take", dog__weight="12 kg", due=""))

    assert "12 kg" in page.text
    assert "The dog's weight from “11 kg” to “12 kg”" in page.text
    assert "the due date from “2027-04-01” to nothing" in page.text


def test_saving_the_form_as_it_was_changes_nothing(site: Site) -> None:
    site.take(BEAGLE)
    number = site.number()
    before = site.client.get(f"/api/v1/orders/{number}").json()
    form = site.get(f"/orders/{number}/edit").form()

    site.send(f"/orders/{number}/edit", form.with_(do="take"))

    after = site.client.get(f"/api/v1/orders/{number}").json()
    assert after["asked"] == before["asked"]
    assert after["plan"] == before["plan"]


def test_what_is_emptied_is_taken_out(site: Site) -> None:
    swatch = dict.fromkeys(
        ("swatch.rib_stitches", "swatch.rib_rows", "swatch.plain_stitches", "swatch.plain_rows"),
        "14",
    )
    site.take(BEAGLE | swatch | {"dog.coat": "thick"})
    address = f"/orders/{site.number()}/edit"
    form = site.get(address).form()

    empty = {name: [""] for name in swatch}
    site.send(address, form.values | empty | {"dog.coat": [""], "do": ["take"]})

    asked = site.client.get(f"/api/v1/orders/{site.number()}").json()["asked"]
    assert asked["swatch"] is None
    assert asked["dog"]["coat"] is None


def test_a_stale_edit_keeps_what_was_typed_and_shows_what_is_kept(site: Site) -> None:
    site.take(BEAGLE)
    address = f"/orders/{site.number()}/edit"
    mine = site.get(address).form()
    theirs = site.get(address).form()
    site.send(address, theirs.with_(do="take", measurements__face_girth="39"))

    page = site.send(address, mine.with_(do="take", dog__name="Moth"), 412)

    assert "Nothing of yours is lost" in page.text
    assert page.form().values["dog.name"] == ["Moth"]
    assert page.said("measurements.face_girth") == "Kept now: 39"
    assert page.said("dog.name") == "Kept now: Pipkin"
    assert page.said("measurements.neck_girth") == ""
    page = site.send(address, page.form().with_(do="take"))
    assert page.heading == "Moth"


def test_an_accepted_stop_is_no_longer_accepted_for_another_number(site: Site) -> None:
    accept = site.take(WRONG_NECK).form("/accept")
    site.send(accept.action, accept.with_(reason="it is a puppy"))
    address = f"/orders/{site.number()}/edit"

    kept = site.send(address, site.get(address).form().with_(do="take", notes="call first"))
    assert "Accepted as it is" in kept.text
    form = site.get(address).form()
    page = site.send(address, form.with_(do="take", measurements__neck_girth="145"))

    assert "Settle the neck girth" in page.text


def test_a_head_girth_that_cannot_be_is_settled_on_the_order_s_page(site: Site) -> None:
    page = site.take(BEAGLE | {"measurements.head_girth": "15.75"})

    assert "Settle the head girth" in page.text
    assert "15.75 looks like inches" in page.by_id("head_girth").text
    assert "measure Pipkin\u2019s head again" in page.text.replace("'", "\u2019")
    assert "Pipkin\u2019s head girth" in site.get("/").text
    correct = page.form("/correct")
    assert correct.values["value"] == ["40.0 cm"]
    page = site.send(correct.action, correct.values)
    assert "40.0 cm" in page.by_id("head_girth").text
    assert "looks like inches" not in page.text
    assert "ead girth from “15.75” to “40.0 cm”" in page.text
    assert "Work ticket (PDF)" in page.text


def test_an_order_goes_its_way_and_back(site: Site) -> None:
    page = site.take(BEAGLE)
    said = []
    for _ in range(5):
        button = page.root.all("button")[0]
        said.append(button.text)
        move = page.form("/state")
        page = site.send(move.action, move.with_(to=button.attrs["value"], note="in the parcel"))

    assert said == [
        "The price is sent",
        "The buyer said yes",
        "Begin the hood",
        "The hood is finished",
        "Handed over to the buyer",
    ]
    assert page.root.all("button")[0].text == "Back to finished"
    assert "Moved from “finished” to “handed over”." in page.text
    assert not any(link.endswith("/edit") for link in page.links())


def test_a_move_on_an_old_page_is_refused(site: Site) -> None:
    page = site.take(BEAGLE)
    move = page.form("/state")
    site.send(move.action, move.with_(to="quoted"))

    page = site.send(move.action, move.with_(to="accepted"), 412)

    assert page.heading == "Changed in the meantime"
    assert f"/orders/{'2027-0001'}" in page.links()


def test_what_is_on_the_hook_is_not_edited(site: Site) -> None:
    page = site.take(BEAGLE)
    for state in ("accepted", "making"):
        move = page.form("/state")
        page = site.send(move.action, move.with_(to=state))

    page = site.get("/orders/2027-0001/edit", 409)

    assert "move it back to “accepted”" in page.text


def test_a_stopped_order_is_not_moved_on(site: Site) -> None:
    page = site.take(WRONG_NECK)
    move = page.form("/state")

    page = site.send(move.action, move.with_(to="accepted"), 409)

    assert "correct or accept the numbers" in page.text


def test_the_history_has_a_word_for_each_part_of_an_order(site: Site) -> None:
    told_by_parts = {"accepted", "measurements"}
    assert set(OrderIn.model_fields) - told_by_parts <= set(CALLED)

    site.take(BEAGLE)
    address = f"/orders/{site.number()}/edit"
    form = site.get(address).form()
    page = site.send(address, form.with_(made_before="0", language="de", do="take"))
    assert "ade before from nothing to “0”" in page.text
    assert "anguage of the buyer from “en” to “de”" in page.text
