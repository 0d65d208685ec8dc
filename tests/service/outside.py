"""Those outside: an owner with a link, and a stranger, through the test client."""

import re
from collections.abc import Mapping

from httpx2 import Response
from sqlmodel import SQLModel, select
from starlette.testclient import TestClient

from service.db import Database
from service.models import OwnerLink
from service.owner.limits import Door
from tests.service.api import Api, Json

TWICE: Json = {
    "neck_length.1": "8", "neck_length.2": "8.2",
    "neck_girth.1": "35", "neck_girth.2": "36",
    "nape_length.1": "11.4", "nape_length.2": "11.6",
    "face_girth.1": "38", "face_girth.2": "38",
    "unit": "cm",
}  # fmt: skip
HOSTILE = (
    '<script>alert(1)</script>"><img src=x onerror=alert(1)>',
    '=HYPERLINK("http://x.example","y")',
    "{{7919*7919}}{% raw %}",
    "\u202egnp.tacyos\u202c אבג \x07",
)
AGENT = {"Accept-Language": "en"}


class Outside:
    """Whoever has an address of the shop and nothing else."""

    def __init__(self, api: Api, database: Database) -> None:
        self.api = api
        self.database = database
        self.client = api.client
        self.client.app.state.door = Door()  # type: ignore[attr-defined]  # the application
        self.stranger = TestClient(self.client.app, raise_server_exceptions=False)

    def link(self, number: str, **asked: object) -> Json:
        """Make a link that must be made."""
        made = self.api.post(f"/orders/{number}/owner-links", asked)
        assert made.status_code == 201, made.text
        link: Json = made.json()
        return link

    def way(self, link: Json) -> str:
        """Return the path of a link."""
        return str(link["address"]).removeprefix("http://testserver")

    def get(self, path: str) -> Response:
        return self.stranger.get(path, headers=AGENT)

    def send(self, path: str, typed: Mapping[str, str], do: str = "sure") -> Response:
        """Send a form; what it leads to is followed."""
        return self.stranger.post(path, data={**typed, "do": do}, headers=AGENT)

    def sent(self, number: str, typed: Mapping[str, str]) -> Json:
        """Send numbers by a new link; return them as the maker sees them."""
        way = self.way(self.link(number))
        assert "have arrived" in self.send(way, typed).text
        return self.numbers(number)[0]

    def numbers(self, number: str) -> list[Json]:
        """Return what owners measured for an order."""
        found: list[Json] = self.client.get(f"/api/v1/orders/{number}/owner-numbers").json()
        return found

    def take_over(self, order: Json, numbers: Json, seen: int | None = None) -> Response:
        return self.client.post(
            f"/api/v1/orders/{order['number']}/owner-numbers/{numbers['id']}/take-over",
            params={"seen": seen or numbers["version"]},
            headers={"If-Match": f'"{order["version"]}"'},
        )

    def rows(self) -> list[OwnerLink]:
        with self.database.reading() as session:
            return list(session.exec(select(OwnerLink)))

    def everything_kept(self) -> str:
        """Return all that all tables hold, as text."""
        with self.database.reading() as session:
            tables = SQLModel.metadata.sorted_tables
            return "\n".join(
                str(row) for table in tables for row in session.execute(table.select())
            )

    def open_shop(self, **changes: object) -> None:
        """Open the page for enquiries."""
        answer = self.api.shop({"name": "Wrack Hoods", "enquiries": True, **changes})
        assert answer.status_code == 200, answer.text

    def stamp(self) -> str:
        """Return the stamp of a form given out now."""
        found = re.search(r'name="stamp" value="([^"]+)"', self.get("/ask").text)
        assert found
        return found[1]
