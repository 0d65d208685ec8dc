"""A shop with something of everything, and the numbers of all that as they are just now."""

from typing import Any, Final

from sqlalchemy import Table, text
from sqlmodel import SQLModel, select
from starlette.testclient import TestClient

from service.db import Database
from service.demo import fill_demo
from service.links import digest
from service.models import Confirmation, Delivery
from service.sending.confirming import new_secret
from service.shop import save_shop, shop_of
from service.web.answers import Answers
from service.web.api.bringing import FILES
from service.web.api.examples import BENCH_EVENTS, DRAFTS, ENQUIRIES, OUTCOMES, TEMPLATES
from tests.entering import let_in, with_key
from tests.service.api import Api, FixedClock, order_body
from tests.service.conftest import empty
from tests.service.outside import TWICE, Outside

SECRET: Final = "0123456789abcdefghijkl"  # noqa: S105 - of a link of the tests
TAPS: Final = BENCH_EVENTS["the chain and a row, and a slip of the thumb"]["value"]

_MAILS: Final = "SELECT o.number, d.id FROM delivery d JOIN hood_order o ON o.id = d.order_id"
_PAPERS: Final = (
    "SELECT o.number, d.id, p.paper_id FROM delivery_paper p JOIN delivery d ON"
    " d.id = p.delivery_id JOIN hood_order o ON o.id = d.order_id"
)
_LINKS: Final = "SELECT o.number, l.id FROM owner_link l JOIN hood_order o ON o.id = l.order_id"
_SENT: Final = (
    "SELECT o.number, n.id, n.version FROM owner_numbers n JOIN hood_order o ON o.id = n.order_id"
)
_PAIRS: Final = (
    "SELECT a.number, b.number FROM hood_order a JOIN hood_order b"
    " ON a.buyer_id = b.buyer_id AND a.id <> b.id"
)
_ORDERS: Final = "SELECT number FROM hood_order"

# What an address ends or has in it, what it names, and where that is: the first that fits.
ROWS: Final[tuple[tuple[str, tuple[str, ...], str], ...]] = (
    ("/papers/{paper}", ("number", "delivery", "paper"), _PAPERS),
    ("/deliveries/{delivery}", ("number", "delivery"), _MAILS),
    ("/owner-links/{link}", ("number", "link"), _LINKS),
    ("/owner-numbers/{numbers}", ("number", "numbers", "seen"), _SENT),
    ("/together/{other}", ("number", "other"), _PAIRS),
    ("/bills/{number}", ("number",), "SELECT number FROM bill"),
    ("/{swatch_id}", ("yarn_id", "swatch_id"), "SELECT yarn_id, id FROM yarn_swatch"),
    ("/{yarn_id}", ("yarn_id",), "SELECT id FROM yarn"),
    ("/{buyer_id}", ("buyer_id",), "SELECT id FROM buyer WHERE erased_at IS NULL"),
    ("/{address}", ("address",), "SELECT id FROM calendar_link"),
    ("/{file_id}", ("file_id",), "SELECT id FROM brought_file"),
    ("/{draft_id}", ("draft_id",), "SELECT id FROM order_draft"),
    ("/{enquiry_id}", ("enquiry_id",), "SELECT id FROM enquiry"),
    ("/{number}", ("number",), _ORDERS),
    ("/papers/labels", ("order",), _ORDERS),
    ("/{print_id}", ("print_id",), "SELECT id FROM errand WHERE made IS NOT NULL"),
)
WORDS: Final[dict[str, tuple[str, ...]]] = {
    "/mail-templates/{kind}": ("care", "quote", "guide", "on-its-way"),
    "/everything.{kind}": ("zip", "json"),
    "/confirmations/{secret}": (SECRET,),
    "/deliveries/draft": ("care", "quote", "guide", "on-its-way"),
    "/deliveries/paper": ("care", "quote", "guide"),
}
"""What an address or its query names that is in no table."""


class Stocked:
    """A shop that is filled, and filled anew, over one application."""

    def __init__(self, database: Database, app: Any) -> None:  # noqa: ANN401 - an application
        self.database = database
        self.app = app
        self.api = Api(with_key(TestClient(app, raise_server_exceptions=False)))
        self._kept: list[tuple[Table, list[dict[str, Any]]]] = []

    def anew(self) -> None:
        """Bring it back to how it was filled; filling takes seconds, this a moment."""
        if not self._kept:
            self.fill()
            with self.database.reading() as session:
                for table in SQLModel.metadata.sorted_tables:
                    found = session.execute(table.select()).mappings()
                    self._kept.append((table, [dict(row) for row in found]))
        empty(self.database)
        with self.database.writing() as session:
            for table, rows in self._kept:
                if rows:
                    session.execute(table.insert(), rows)
        # The clock stands still: no answer to what was there before may be taken for one of now.
        self.app.state.answers = Answers()

    def fill(self) -> None:
        """Throw everything away and put something of everything in."""
        empty(self.database)
        let_in(self.database, FixedClock.now)
        with self.database.writing() as session:
            fill_demo(session, FixedClock.now)
            shop, version = shop_of(session)
            save_shop(session, shop.model_copy(update={"enquiries": True}), version)
        self._orders()
        self._money()
        self._mails()
        self._owners()
        self._beside()

    def _orders(self) -> None:
        for states in (("accepted", "making", "finished", "handed over"), ("cancelled",)):
            self.api.moved(self.api.taken(), *states)
        self._post("/orders/2026-0001/bench/events", TAPS)
        finished = self.api.show("2026-0006")
        answer = self.api.client.put(
            "/api/v1/orders/2026-0006/outcome",
            json=OUTCOMES["a hood that fitted"]["value"],
            headers={"If-Match": f'"{finished["version"]}"'},
        )
        assert answer.is_success, answer.text
        self.api.taken(order_body(buyer={"name": "Tilda Fenwright"}))
        self.api.taken(order_body(buyer={"name": "Tilda Fenwright"}))

    def _money(self) -> None:
        self._post("/orders/2026-0001/payments", {"amount": "30.00"})
        for number in ("2026-0001", "2026-0002"):
            self._post(f"/orders/{number}/invoices", None)
        told = {"amount": "10.00", "reason": "a flaw in the rib"}
        self._post("/orders/2026-0002/credit-notes", told)

    def _mails(self) -> None:
        for number, kind in (("2026-0006", "care"), ("2026-0003", "quote")):
            self._post(f"/orders/{number}/deliveries", {"kind": kind})
        self._post("/orders/2026-0006/deliveries/paper?kind=care", None)
        tag = self.api.client.get("/api/v1/mail-templates/care").headers["ETag"]
        words = TEMPLATES["short words"]["value"]
        address = "/api/v1/mail-templates/care"
        kept = self.api.client.put(address, json=words, headers={"If-Match": tag})
        assert kept.is_success, kept.text
        with self.database.writing() as session:
            # As when the mail has left; the secret that it carries is one we know.
            delivery = session.exec(select(Delivery).where(Delivery.kind == "care")).first()
            assert delivery
            new_secret(session, delivery, FixedClock.now)
            row = session.exec(select(Confirmation)).one()
            row.token_hash = digest(SECRET)

    def _owners(self) -> None:
        outside = Outside(self.api, self.database)
        for number in ("2026-0004", "2026-0005"):
            outside.sent(number, TWICE)
        outside.link("2026-0005")

    def _beside(self) -> None:
        self._post("/bring-in", FILES["orders"]["value"])
        self._post("/prints", {"orders": ["2026-0001", "2026-0002"]})
        for _ in range(2):
            self._post("/calendar/addresses", None)
            self._post("/drafts", next(iter(DRAFTS.values()))["value"])
            self._post("/enquiries", next(iter(ENQUIRIES.values()))["value"])

    def _post(self, path: str, body: object) -> None:
        answer = self.api.post(path, body)
        assert answer.is_success, f"{path}: {answer.text}"

    def real(self, path: str) -> tuple[tuple[str, ...], list[tuple[Any, ...]]]:
        """Return what an address names, and every value of it that there is."""
        for part, names, query in ROWS:
            if part in path:
                with self.database.reading() as session:
                    rows = session.execute(text(query)).all()
                return names, sorted(tuple(row) for row in rows)
        return (), []

    def tag(self, path: str, query: dict[str, Any]) -> str:
        """Return the ETag of what an address, or the beginning of it, shows."""
        for above in (path, path.rpartition("/")[0], "/".join(path.split("/")[:5])):
            answer = self.api.client.get(above, params=query)
            if "ETag" in answer.headers:
                return answer.headers["ETag"]
        return '"1"'
