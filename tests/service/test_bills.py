"""Quotes, invoices, payments and credit notes; on both databases."""

from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal
from io import BytesIO

import pytest
from pypdf import PdfReader

from tests.service.api import SWATCH, Api, Json, assert_problem, order_body, stopped_body

BUYER = {
    "name": "Ottoline Wrack",
    "email": "ottoline@wrack.example",
    "address": "Ottoline Wrack\n4 Sluice Lane\nThornbeck",
}


def text_of(pdf: bytes) -> str:
    pages = PdfReader(BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def accepted(api: Api) -> Json:
    order = api.taken(order_body(swatch=SWATCH, buyer=BUYER))
    moved: Json = api.move(order, "accepted").json()
    return moved


def invoice(api: Api, order: Json) -> Json:
    answer = api.post(f"/orders/{order['number']}/invoices", None)
    assert answer.status_code == 201, answer.text
    found: Json = answer.json()
    return found


def paper(api: Api, path: str) -> bytes:
    answer = api.client.get(f"/api/v1{path}")
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "application/pdf"
    return answer.content


def test_an_invoice_is_numbered_and_stays_as_it_was_byte_for_byte(api: Api) -> None:
    order = accepted(api)
    row = invoice(api, order)
    first = paper(api, f"/bills/{row['number']}.pdf")

    assert row["number"] == "R 2026-0001"
    assert row["total"] == order["plan"]["price"]["total"]
    told = text_of(first)
    for said in ("R 2026-0001", order["number"], "Ottoline Wrack", "4 Sluice Lane"):
        assert said in told, said
    # The order, the rates and the shop change; the paper does not.
    shop = api.client.get("/api/v1/shop")
    settings = {**shop.json(), "name": "Another Name"}
    settings.pop("version", None)
    api.client.put("/api/v1/shop", json=settings, headers={"If-Match": shop.headers["etag"]})
    api.change(api.show(order["number"]), {"measurements": {"neck_length": "9 cm"}})
    assert paper(api, f"/bills/{row['number']}.pdf") == first


def test_a_second_invoice_needs_a_credit_note_first_and_numbers_have_no_gap(api: Api) -> None:
    order = accepted(api)
    first = invoice(api, order)
    again = api.post(f"/orders/{order['number']}/invoices", None)
    assert again.status_code == 409
    assert first["number"] in again.json()["detail"]

    note = api.post(f"/orders/{order['number']}/credit-notes", None).json()
    second = invoice(api, order)

    assert (note["number"], note["cancels"]) == ("C 2026-0001", first["number"])
    assert second["number"] == "R 2026-0002"
    assert first["number"] in text_of(paper(api, f"/bills/{note['number']}.pdf"))
    money = api.client.get(f"/api/v1/orders/{order['number']}/money").json()
    assert [one["number"] for one in money["bills"]] == [
        "R 2026-0001", "C 2026-0001", "R 2026-0002",
    ]  # fmt: skip


def credit(api: Api, order: Json, amount: str, reason: str = "") -> Json:
    told = {"amount": amount, "reason": reason}
    answer = api.post(f"/orders/{order['number']}/credit-notes", told)
    assert answer.status_code == 201, answer.text
    found: Json = answer.json()
    return found


def test_a_part_is_taken_off_until_nothing_is_left(api: Api) -> None:
    order = accepted(api)
    first = invoice(api, order)
    whole = Decimal(first["total"])
    api.post(f"/orders/{order['number']}/payments", {"amount": str(whole)})

    part = credit(api, order, "10.00", "a flaw in the rib")
    told = text_of(paper(api, f"/bills/{part['number']}.pdf"))
    for said in ("a flaw in the rib", "The rest of the invoice stands", first["number"]):
        assert said in told
    assert part["total"] == "10.00"
    # The invoice still stands: a second one is refused, as is more than what is left.
    assert api.post(f"/orders/{order['number']}/invoices", None).status_code == 409
    much = api.post(f"/orders/{order['number']}/credit-notes", {"amount": str(whole)})
    assert much.status_code == 422
    assert f"At most {whole - 10}" in much.json()["detail"]
    for amount in ("0", "-1", "1.001", "NaN"):
        path = f"/orders/{order['number']}/credit-notes"
        assert api.post(path, {"amount": amount}).status_code == 422

    last = api.post(f"/orders/{order['number']}/credit-notes", None).json()
    assert Decimal(last["total"]) == whole - 10
    told = text_of(paper(api, f"/bills/{last['number']}.pdf"))
    assert "Nothing is left to pay" in told
    assert told.split("To be paid back to you")[1].split()[0].endswith(str(whole))
    assert api.post(f"/orders/{order['number']}/invoices", None).status_code == 201


def test_a_credit_note_says_what_goes_back_and_is_for_the_invoices_own_sum(api: Api) -> None:
    order = accepted(api)
    first = invoice(api, order)
    api.post(f"/orders/{order['number']}/payments", {"amount": "20.50"})
    api.change(api.show(order["number"]), {"measurements": {"neck_length": "16 cm"}})
    changed = api.show(order["number"])["plan"]["price"]["total"]
    note = api.post(f"/orders/{order['number']}/credit-notes", None).json()

    assert changed != first["total"]
    assert note["total"] == first["total"]
    assert "20.50" in text_of(paper(api, f"/bills/{note['number']}.pdf"))


PAGES = (
    "/orders/{number}/care-sheet.html", "/orders/{number}/quote.html",
    "/orders/{number}/measuring-guide.html", "/orders/{number}/parcel-slip.html",
    "/papers/measuring-guide.html", "/papers/labels.html?order={number}",
    "/yarns/{yarn}/size-sheet.html", "/bills/{bill}.html",
)  # fmt: skip


@pytest.mark.parametrize("path", PAGES)
def test_every_buyers_paper_is_a_page_too(sqlite_api: Api, path: str) -> None:
    order = accepted(sqlite_api)
    yarn = sqlite_api.post("/yarns", order_body()["yarn"]).json()["id"]
    row = invoice(sqlite_api, order)
    path = path.format(number=order["number"], yarn=yarn, bill=row["number"])
    page = sqlite_api.client.get(f"/api/v1{path}")

    assert page.status_code == 200
    assert page.headers["content-type"].startswith("text/html")
    assert "default-src 'none'" in page.headers["content-security-policy"]
    assert page.text.startswith("<!doctype html>\n<html lang=")
    assert page.text.count("<h1>") == 1


def test_payments_are_added_up_and_stand_on_the_invoice(api: Api) -> None:
    order = accepted(api)
    path = f"/orders/{order['number']}/payments"
    assert api.post(path, {"amount": "20.50", "note": "deposit"}).status_code == 201
    assert api.post(path, {"amount": "-0.50"}).status_code == 201
    row = invoice(api, order)

    money = api.client.get(f"/api/v1/orders/{order['number']}/money").json()
    assert sum(Decimal(one["amount"]) for one in money["payments"]) == Decimal("20.00")
    assert "20.00" in text_of(paper(api, f"/bills/{row['number']}.pdf"))


def test_a_payment_sent_again_with_its_key_is_one_payment(api: Api) -> None:
    order, other = accepted(api), accepted(api)
    path, key = f"/orders/{order['number']}/payments", {"Idempotency_Key": "till 7"}
    told = {"amount": "20.50", "note": "deposit"}
    first, again = (api.post(path, told, **key) for _ in range(2))
    assert (first.status_code, again.status_code) == (201, 201)
    assert first.json() == again.json()
    assert_problem(api.post(path, {"amount": "21"}, **key), 422, "key-reused")
    api.post(f"/orders/{other['number']}/payments", told, **key)

    assert _paid(api, order) == _paid(api, other) == ["20.50"]
    history = api.client.get(f"/api/v1/orders/{order['number']}").json()["history"]
    assert [one["kind"] for one in history].count("paid") == 1
    api.post(path, told)
    api.post(path, told)
    assert _paid(api, order) == ["20.50"] * 3


def test_payments_sent_at_once_with_one_key_are_one(api: Api) -> None:
    order = accepted(api)
    path, key = f"/orders/{order['number']}/payments", {"Idempotency_Key": "at once"}
    with ThreadPoolExecutor(6) as threads:
        coming = [threads.submit(api.post, path, {"amount": "5"}, **key) for _ in range(6)]
        statuses = {one.result().status_code for one in coming}
    assert statuses == {201}
    assert _paid(api, order) == ["5"]


def test_a_credit_note_sent_again_with_its_key_is_one(api: Api) -> None:
    order = accepted(api)
    invoice(api, order)
    path, key = f"/orders/{order['number']}/credit-notes", {"Idempotency_Key": "rib"}
    told = {"amount": "3.00", "reason": "a flaw in the rib"}
    first, again = (api.post(path, told, **key) for _ in range(2))
    assert first.json() == again.json()
    assert first.json()["number"] == "C 2026-0001"
    assert_problem(api.post(path, None, **key), 422, "key-reused")
    assert api.post(path, told).json()["number"] == "C 2026-0002"


def _paid(api: Api, order: Json) -> list[str]:
    money = api.client.get(f"/api/v1/orders/{order['number']}/money").json()
    return [one["amount"] for one in money["payments"]]


def test_what_was_not_agreed_upon_is_not_billed(api: Api) -> None:
    order = api.taken(order_body(swatch=SWATCH))
    refused = api.post(f"/orders/{order['number']}/invoices", None)
    assert refused.status_code == 409
    assert "accept it" in refused.json()["detail"]
    nothing = api.post(f"/orders/{order['number']}/credit-notes", None)
    assert nothing.status_code == 409
    assert api.client.get("/api/v1/bills/R 2026-0009.html").status_code == 404
    assert api.client.get("/api/v1/bills/R 2026-0009.pdf").status_code == 404


def test_a_payment_that_is_no_number_is_refused(sqlite_api: Api) -> None:
    order = accepted(sqlite_api)
    for amount in ("NaN", "1e9", "much"):
        answer = sqlite_api.post(f"/orders/{order['number']}/payments", {"amount": amount})
        assert answer.status_code == 422


PAPERS = (
    "work-ticket.pdf", "stitch-chart.pdf", "care-sheet.pdf", "care-sheet.pdf?edition=large",
    "quote.pdf", "measuring-guide.pdf", "parcel-slip.pdf",
)  # fmt: skip


@pytest.mark.parametrize("name", PAPERS)
def test_every_paper_of_an_order_can_be_printed_again_the_same(sqlite_api: Api, name: str) -> None:
    order = accepted(sqlite_api)
    first = paper(sqlite_api, f"/orders/{order['number']}/{name}")

    assert paper(sqlite_api, f"/orders/{order['number']}/{name}") == first
    assert text_of(first)


def test_the_buyers_papers_speak_the_buyers_language(sqlite_api: Api) -> None:
    order = sqlite_api.taken(order_body(swatch=SWATCH, language="de"))
    german = text_of(paper(sqlite_api, f"/orders/{order['number']}/care-sheet.pdf"))
    english = text_of(paper(sqlite_api, f"/orders/{order['number']}/care-sheet.pdf?language=en"))

    assert "Hund" in german
    assert "Hund" not in english
    page = sqlite_api.client.get(f"/api/v1/orders/{order['number']}/care-sheet.html")
    assert 'lang="de"' in page.text
    assert "script" not in page.headers["content-security-policy"]
    answer = sqlite_api.take(order_body(language="xx"))
    assert answer.status_code == 422


def test_labels_and_size_sheet_and_blank_guide(sqlite_api: Api) -> None:
    one, two = accepted(sqlite_api), accepted(sqlite_api)
    told = text_of(
        paper(
            sqlite_api,
            f"/papers/labels.pdf?order={one['number']}&order={two['number']}&copies=2",
        )
    )
    assert told.count(one["number"]) == told.count(two["number"]) == 2
    assert text_of(paper(sqlite_api, "/papers/measuring-guide.pdf"))
    yarn = sqlite_api.post("/yarns", order_body()["yarn"]).json()
    sheet = text_of(paper(sqlite_api, f"/yarns/{yarn['id']}/size-sheet.pdf"))
    assert "80 kg" in sheet or "84 kg" in sheet
    assert sqlite_api.client.get("/api/v1/yarns/999/size-sheet.pdf").status_code == 404


def test_an_order_that_is_stopped_has_a_guide_and_nothing_else(sqlite_api: Api) -> None:
    order = sqlite_api.taken(stopped_body())
    assert paper(sqlite_api, f"/orders/{order['number']}/measuring-guide.pdf")
    for name in ("quote.pdf", "stitch-chart.pdf", "care-sheet.html"):
        answer = sqlite_api.client.get(f"/api/v1/orders/{order['number']}/{name}")
        assert answer.status_code == 409
