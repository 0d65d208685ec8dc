"""The pages as a browser without script uses them."""

import re

from starlette.testclient import TestClient

from tests.pages.reading import Page

BEAGLE = {
    "dog.name": "Pipkin",
    "dog.breed": "Beagle",
    "dog.weight": "11 kg",
    "measurements.neck_length": "8",
    "measurements.neck_girth": "35.5",
    "measurements.nape_length": "11,5 cm",
    "measurements.face_girth": "38",
    "buyer.name": "Tilda Fenwright",
    "yarn_choice": "new",
    "yarn.name": "Brackwater Aran",
    "yarn.ball_metres": "170",
    "yarn.ball_grams": "100",
    "yarn.ball_price": "4,80",
}
WRONG_NECK = {**BEAGLE, "measurements.neck_girth": "14.5"}


class Site:
    """A visitor: gets pages, fills forms, follows where they lead."""

    def __init__(self, client: TestClient) -> None:
        self.client = client

    def get(self, address: str, status: int = 200) -> Page:
        """Get a page."""
        answer = self.client.get(address)
        assert answer.status_code == status, answer.text
        assert answer.headers["content-type"].startswith("text/html")
        return Page(answer.text)

    def send(self, address: str, values: dict[str, list[str]], status: int = 200) -> Page:
        """Send a form and follow where the answer leads."""
        answer = self.client.post(address, data=values)
        assert answer.status_code == status, answer.text
        self.at = answer.url.path
        return Page(answer.text)

    def take(self, typed: dict[str, str], status: int = 200, do: str = "take") -> Page:
        """Fill the form for an order from scratch and press a button."""
        form = self.get("/orders/new").form()
        sent = form.values | {name: [text] for name, text in typed.items()} | {"do": [do]}
        return self.send("/orders/new", sent, status)

    def number(self) -> str:
        """The number of the order whose page one is at."""
        found = re.fullmatch(r"/orders/([0-9]{4}-[0-9]{4})", self.at)
        assert found, self.at
        return found[1]

    def count(self) -> int:
        """How many orders there are."""
        listed = self.client.get("/api/v1/orders").json()["orders"]
        return len(listed)
