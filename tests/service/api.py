"""The API as a test speaks to it, and the bodies that it sends."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from threading import Thread
from typing import Any

from httpx2 import Response
from starlette.testclient import TestClient

Json = dict[str, Any]

YARN: Json = {
    "name": "Hemlock Aran",
    "fibres": [{"fibre": "acrylic", "percent": 100}],
    "weight_class": 4,
    "ball_metres": 170,
    "ball_grams": 100,
    "ball_price": "4.80",
    "lot": "K 214",
}
SWATCH: Json = {
    "rib_stitches": 13,
    "rib_rows": 15,
    "plain_stitches": 13,
    "plain_rows": 14.5,
    "hook_mm": 5,
    "weighed_grams": 21,
    "weighed_stitches": 540,
}
DOG: Json = {"name": "Bramble", "breed": "Beagle", "weight": "11 kg"}
LENGTHS: Json = {
    "neck_length": "8 cm",
    "neck_girth": "35,5 cm",
    "nape_length": "4 1/2 in",
    "face_girth": " 380 mm",
}
BUYER: Json = {"name": "Ottoline Wrack", "email": "ottoline@wrack.example"}
HOOD: Json = {"dog": DOG, "measurements": LENGTHS, "yarn": YARN}
SLIPPED: Json = {**LENGTHS, "neck_girth": "14.5"}
"""A neck taken in inches and written without a unit: a stop for a beagle."""
PROBLEM = "application/problem+json"


@dataclass(eq=False)
class FixedClock:
    """A clock that a test sets."""

    now: datetime = datetime(2026, 3, 14, 9, 26, 53, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


def order_body(**changes: Any) -> Json:  # noqa: ANN401 - any member of an order
    """Return an order that can be planned."""
    return {"buyer": BUYER, **HOOD, **changes}


def stopped_body(**changes: Any) -> Json:  # noqa: ANN401 - any member of an order
    """Return an order with a number that stops its plan."""
    return order_body(measurements=SLIPPED, **changes)


class Api:
    """The routes of the API as short calls."""

    def __init__(self, client: TestClient) -> None:
        self.client = client

    def post(self, path: str, body: object, **headers: str) -> Response:
        return self.client.post(f"/api/v1{path}", json=body, headers=_named(headers))

    def take(self, body: Json | None = None, key: str | None = None) -> Response:
        headers = {"Idempotency-Key": key} if key else {}
        return self.client.post("/api/v1/orders", json=body or order_body(), headers=headers)

    def taken(self, body: Json | None = None) -> Json:
        """Take an order that must be taken; return it."""
        response = self.take(body)
        assert response.status_code == 201, response.text
        order: Json = response.json()
        return order

    def show(self, number: str) -> Json:
        response = self.client.get(f"/api/v1/orders/{number}")
        assert response.status_code == 200, response.text
        order: Json = response.json()
        return order

    def listed(self, **query: Any) -> Response:  # noqa: ANN401 - any parameter of the list
        return self.client.get("/api/v1/orders", params=query)

    def numbers(self, **query: Any) -> list[str]:  # noqa: ANN401 - any parameter of the list
        response = self.listed(**query)
        assert response.status_code == 200, response.text
        return [line["number"] for line in response.json()["orders"]]

    def change(self, order: Json, patch: object, version: int | None = None) -> Response:
        """Change an order at the version that it has, or at another."""
        headers = {"If-Match": f'"{version or order["version"]}"'}
        path = f"/api/v1/orders/{order['number']}"
        return self.client.patch(path, json=patch, headers=headers)

    def move(self, order: Json, to: str, note: str = "") -> Response:
        """Move an order at the version that it has."""
        headers = {"If-Match": f'"{order["version"]}"'}
        path = f"/api/v1/orders/{order['number']}/state"
        return self.client.post(path, json={"to": to, "note": note}, headers=headers)

    def moved(self, order: Json, *states: str) -> Json:
        """Move an order along states that it must be able to take; return it."""
        for state in states:
            without_sheet = "the sheet lies in the parcel" if state == "handed over" else ""
            response = self.move(order, state, without_sheet)
            assert response.status_code == 200, response.text
            order = response.json()
        return order

    def shop(self, settings: Json) -> Response:
        """Change the shop's settings at their version."""
        tag = self.client.get("/api/v1/shop").headers["ETag"]
        return self.client.put("/api/v1/shop", json=settings, headers={"If-Match": tag})


def _named(headers: dict[str, str]) -> dict[str, str]:
    return {name.replace("_", "-"): value for name, value in headers.items()}


def assert_problem(response: Response, status: int, code: str) -> Json:
    """Assert that a response is a problem of RFC 9457 without an inside; return it."""
    assert response.status_code == status, response.text
    assert response.headers["Content-Type"] == PROBLEM
    problem: Json = response.json()
    assert set(problem) == {"type", "title", "status", "detail", "code", "fields"}
    assert (problem["type"], problem["status"]) == ("about:blank", status)
    assert problem["code"] == code
    assert problem["title"]
    assert problem["detail"]
    for inside in ("Traceback", 'File "', "sqlalchemy", "psycopg", "INSERT INTO"):
        assert inside not in response.text
    return problem


def at_once(count: int, work: Callable[[int], Response], seconds: float = 60) -> list[Response]:
    """Do a piece of work in many threads and return what each got, within a time."""
    answers: dict[int, Response] = {}

    def one(index: int) -> None:
        answers[index] = work(index)

    threads = [Thread(target=one, args=(index,), daemon=True) for index in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(seconds)
    assert len(answers) == count, f"{count - len(answers)} of {count} have no answer"
    return [answers[index] for index in range(count)]


def lengths_given(order: Json) -> Json:
    """The measurements of an order as given, without those that were not taken."""
    measurements: Json = order["asked"]["measurements"]
    return {name: text for name, text in measurements.items() if text is not None}
