"""Draw the pictures in docs/pictures/pages anew, and docs/pages.md, from the demo shop.

    python3 deploy/screens.py

Run it in the test environment, where Pillow and a browser are. Each page is drawn as a desk and a
phone show it; a long page is cut.
"""

import io
import shutil
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from PIL import Image
from playwright.sync_api import Browser, Page, Route, sync_playwright
from starlette.testclient import TestClient

ROOT: Final = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from deploy.pictures import NOW
from service.bringing.sheet import sample
from service.db import open_database
from service.demo import fill_demo
from service.schema import upgrade
from service.sending.confirming import new_secret
from service.sending.outbox import hand_over
from service.web.application import create_app
from tests.entering import known, let_in
from tests.pages.every import made_ready
from tests.service.api import SWATCH, Api, order_body

FOLDER: Final = ROOT / "docs" / "pictures" / "pages"
SITE: Final = "http://shop.test"
LARGEST: Final = 120_000
"""Bytes of a picture."""
COLOURS: Final = 32
SMALLER: Final = 0.85
SIZES: Final = {"wide": (1280, 1600), "phone": (360, 1400)}
"""Width and greatest height of a picture, in CSS pixels."""
PAGES: Final = {
    "sign-in": ("/sign-in", "Come in: your name and your password."),
    "today": ("/", "Today: what is to be done, and what waits."),
    "take": (
        "/orders/new",
        "Take an order: what needs another look is said above, and beside its field.",
    ),
    "order": ("/orders/2027-0001", "An order: the hood, its sizes, its price and the next step."),
    "stopped": ("/orders/2027-0005", "An order with a number to settle."),
    "orders": ("/orders", "The orders, and how one is found."),
    "known": (
        "/orders/new?known=fenwright",
        "A buyer who is known: their dogs, and another hood.",
    ),
    "change": ("/orders/2027-0002/edit", "An order changed, until the hood is on the hook."),
    "papers": ("/orders/2027-0006/papers", "The papers of an order."),
    "mail": ("/orders/2027-0006/papers/care", "A mail, seen before it is sent."),
    "confirm": ("/confirm/{paper}", "What the buyer of a hood reads, and confirms."),
    "bench": ("/orders/2027-0001/bench", "The bench: one row at a time, for busy hands."),
    "in-hand": (
        "/orders/2027-0001/in-hand",
        "What is really on the hook, and the rest planned anew.",
    ),
    "owner": (
        "/measure/{secret}",
        "What the dog's owner sees: how to measure, and where to write.",
    ),
    "enquiry": ("/ask", "The form with which a buyer asks for a hood."),
    "thanks": ("/ask/thanks", "What the stranger reads then."),
    "enquiries": ("/enquiries", "Enquiries from strangers, to be looked at."),
    "stranger": ("/enquiries/1", "An enquiry as it was typed, and an order made of it."),
    "shelf": ("/yarns", "The shelf: your yarns and what is left."),
    "yarn": ("/yarns/1", "A yarn: balls, lots, swatches, and which orders need it."),
    "shopping": ("/yarns/shopping?asked=1", "The shopping list: what to buy for the open orders."),
    "queue": ("/queue", "The queue: who comes next, and when a hood is ready."),
    "calendar": ("/queue/calendar", "Your orders' days in your own calendar."),
    "figures": ("/figures", "Figures: money, hours and yarn."),
    "tickets": ("/tickets?to=2027-03-31", "The work tickets of a week, in one print."),
    "print": ("/tickets/prints/2", "Tickets printed together, once they are drawn."),
    "mails": ("/mails", "The words of the mails."),
    "words": ("/mails/care", "The words of one mail, and how it reads."),
    "bring-in": ("/bring-in", "Bring in orders or yarns from a table."),
    "brought": ("{brought}", "What a table would do: every line, every error, nothing done yet."),
    "buyers": ("/buyers", "The buyers."),
    "buyer": ("/buyers/1", "What is kept of a buyer; all of it to take out, or to erase."),
    "shop": ("/shop", "The shop: maker, habits and rates."),
    "account": ("/account", "Your account."),
    "accounts": ("/accounts", "Helpers, and keys for programs."),
    "docs": ("/docs", "The API, for programs."),
    "nothing": ("/orders/2027-0099", "An order that there is not."),
}
"""Pages, each with its address and what it is for."""
LAST: Final = ("figures", "brought")
"""Pages that show what other pages must not: hoods finished long ago, a table to be looked at."""
HOODS: Final = (
    ("Wisp", 0.8, 1.12, 0.9), ("Tansy", 1.2, 0.94, 1.3), ("Bosun", 1.5, 1.05, 1.15),
    ("Pepper", 0.7, 1.2, 1.02), ("Juniper", 1.0, 0.98, 0.96),
)  # fmt: skip
"""Finished hoods: the dog, its size, and yarn and time beside what was planned."""
STRANGE: Final = ("sign-in", "owner", "enquiry", "thanks", "confirm")
"""Pages seen by whoever is not signed in."""


def save(name: str, drawn: bytes) -> None:
    """Write a picture with few colours, scaled down until it is light enough."""
    picture = Image.open(io.BytesIO(drawn)).convert("RGB")
    while True:
        buffer = io.BytesIO()
        picture.quantize(COLOURS).save(buffer, "PNG", optimize=True)
        if len(buffer.getvalue()) < LARGEST:
            break
        picture = picture.resize((int(picture.width * SMALLER), int(picture.height * SMALLER)))
    (FOLDER / f"{name}.png").write_bytes(buffer.getvalue())
    print(f"{name}.png: {len(buffer.getvalue()) // 1000} kB")


def led(page: Page, client: TestClient) -> None:
    """Let the shop in this process answer what a browser's page asks for."""

    def answer(route: Route) -> None:
        path = route.request.url.removeprefix(SITE)
        kind = route.request.headers.get("content-type")
        headers = {"Accept-Encoding": "identity"} | ({"Content-Type": kind} if kind else {})
        body = route.request.post_data_buffer
        found = client.request(route.request.method, path, content=body, headers=headers)
        route.fulfill(status=found.status_code, headers=dict(found.headers), body=found.content)

    page.route("**/*", answer)


def wrong(page: Page) -> None:
    """Fill a part of the order form, with a neck no dog has."""
    for label, text in (
        ("Name", "Bramble"), ("Breed", "Beagle"), ("Weight", "11 kg"),
        ("1 Neck length", "8"), ("2 Neck girth", "3.5"),
    ):  # fmt: skip
        page.get_by_label(label, exact=True).fill(text)
    page.get_by_role("button", name="Take the order").click()
    page.wait_for_load_state("networkidle")


def finish(client: TestClient) -> None:
    """Take, make and tell of some hoods."""
    api = Api(client)
    for dog, size, yarn, time in HOODS:
        usual = {"neck_length": 8, "neck_girth": 35.5, "nape_length": 11.5, "face_girth": 38}
        lengths = {name: f"{value * size:.1f}" for name, value in usual.items()}
        order = api.moved(
            api.taken(order_body(swatch=SWATCH, dog={"name": dog}, measurements=lengths)),
            "accepted", "making", "finished",
        )  # fmt: skip
        plan = order["plan"]
        took = {
            "grams": round(plan["yarn"]["grams"]["likely"] * yarn),
            "minutes": round(plan["labour"]["minutes"] * time),
        }
        seen = {"If-Match": f'"{order["version"]}"'}
        path = f"/api/v1/orders/{order['number']}/outcome"
        client.put(path, json=took, headers=seen).raise_for_status()


def brought(client: TestClient) -> str:
    """Bring a table to be looked at, one line of it wrong; return where it is looked at."""
    table = sample().decode("utf-8-sig").replace("35.5 cm", "35.5 em").encode()
    answer = client.post("/bring-in", files={"file": ("orders.csv", table, "text/csv")})
    return str(answer.url.path)


def draw(browser: Browser, client: TestClient, name: str, address: str) -> None:
    """Draw one page at both sizes."""
    for size, (width, height) in SIZES.items():
        page = browser.new_page(viewport={"width": width, "height": 800})
        led(page, client)
        answered = page.goto(SITE + address)
        if answered is None or (not answered.ok and name != "nothing"):
            raise SystemExit(f"{address} did not open.")
        if name == "take":
            wrong(page)
        tall = min(height, page.evaluate("document.documentElement.scrollHeight"))
        page.set_viewport_size({"width": width, "height": tall})
        page.evaluate("scrollTo(0, 0)")
        save(f"{name}-{size}", page.screenshot())
        page.close()


def written() -> str:
    """Return the page of the documentation that shows the pictures."""
    parts = [
        "# The pages\n\nThe demo shop, at a desk and on a phone; `deploy/screens.py` draws them."
    ]
    for name, (_, line) in PAGES.items():
        shown = " ".join(f"![{line} ({one})](pictures/pages/{name}-{one}.png)" for one in SIZES)
        parts.append(f"## {line}\n\n{shown}")
    return "\n\n".join(parts) + "\n"


def main() -> None:
    """Draw all pages."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory() as folder, sync_playwright() as play:
        database = open_database(f"sqlite:///{folder}/demo.sqlite")
        upgrade(database.engine)
        with database.writing() as session:
            fill_demo(session, NOW)
        let_in(database, NOW)
        secret = made_ready(database, NOW)
        with database.writing() as session:
            paper = new_secret(session, hand_over(session, "2027-0006", "care", "en", NOW), NOW)
        shop = create_app(database, lambda: NOW)
        inside, outside = known(TestClient(shop, SITE)), TestClient(shop, SITE)
        browser = play.chromium.launch(executable_path=shutil.which("chromium"))
        for name, (address, _) in PAGES.items():
            client = outside if name in STRANGE else inside
            if name not in LAST:
                draw(browser, client, name, address.format(secret=secret, paper=paper))
        finish(inside)
        table = brought(inside)
        for name in LAST:
            draw(browser, inside, name, PAGES[name][0].format(brought=table))
        browser.close()
        database.close()
    (ROOT / "docs" / "pages.md").write_text(written(), encoding="utf-8")


if __name__ == "__main__":
    main()
