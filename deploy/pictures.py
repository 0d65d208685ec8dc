"""Draw the pictures of the papers in docs/pictures anew, from the demo shop.

    python3 deploy/pictures.py

Run it in the test environment, where Pillow and a browser are; it needs poppler's `pdftoppm` too.
A picture is of one page, grey, and small enough for a page of documentation.
"""

import io
import shutil
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from PIL import Image
from playwright.sync_api import Route, sync_playwright
from starlette.testclient import TestClient

ROOT: Final = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from service.db import open_database
from service.demo import fill_demo
from service.schema import upgrade
from service.web.application import create_app
from tests.entering import known, let_in

FOLDER: Final = ROOT / "docs" / "pictures"
NOW: Final = datetime(2027, 3, 1, 9, 30, tzinfo=UTC)
DOTS: Final = 110
"""Dots an inch: small type can just be read."""
LARGEST: Final = 150_000
"""Bytes of a picture."""
GREYS: Final = 16
PAPERS: Final = {
    "ticket": ("orders/{made}/work-ticket.pdf", 1),
    "ticket-2": ("orders/{made}/work-ticket.pdf", 2),
    "ticket-table": ("orders/{largest}/work-ticket.pdf", 2),
    "chart": ("orders/{made}/stitch-chart.pdf", 1),
    "care": ("orders/{made}/care-sheet.pdf", 1),
    "care-large": ("orders/{made}/care-sheet.pdf?edition=large", 1),
    "care-german": ("orders/{made}/care-sheet.pdf?language=de", 1),
    "quote": ("orders/{made}/quote.pdf", 1),
    "measuring": ("orders/{made}/measuring-guide.pdf", 1),
    "parcel": ("orders/{made}/parcel-slip.pdf", 1),
    "labels": ("papers/labels.pdf?order={made}&copies=8", 1),
    "sizes": ("yarns/1/size-sheet.pdf", 1),
    "invoice": ("bills/{invoice}.pdf", 1),
    "credit-note": ("bills/{credit}.pdf", 1),
}
"""Pictures, each with the address of its paper and the page of it."""
LARGEST_HOOD: Final[dict[str, object]] = {
    "buyer": {"name": "Oskar Lindqvist"},
    "dog": {"name": "Bosun", "weight": "104 kg", "head": "mastiff"},
    "measurements": {
        "neck_length": "20", "neck_girth": "76", "nape_length": "26", "face_girth": "90",
    },
    "yarn": {
        "name": "Hazelmere Lace", "weight_class": 0, "fibres": [{"fibre": "wool", "percent": 100}],
        "ball_metres": "400", "ball_grams": "50", "ball_price": "9.00",
    },
    "wishes": {
        "collar": "buttoned", "edging": "sl_st",
        "stripes": {part: [{"colour": "cream", "rows": 6}, {"colour": "rust", "rows": 2}]
                    for part in ("collar", "hood")},
        "add_ons": [{"shape": shape, "across": "40 cm", "long": "" if shape == "disc" else "40 cm"}
                    for shape in ("disc", "cone", "tube", "leaf")],
    },
}  # fmt: skip
"""The fullest ticket that there can be, for the picture of its rows."""


def save(name: str, picture: Image.Image) -> None:
    """Write a picture with few tones; a larger one than is good for a page is refused."""
    buffer = io.BytesIO()
    picture.convert("L").quantize(GREYS).save(buffer, "PNG", optimize=True)
    if len(buffer.getvalue()) > LARGEST:
        raise SystemExit(f"{name}.png has {len(buffer.getvalue())} bytes: lower DOTS.")
    (FOLDER / f"{name}.png").write_bytes(buffer.getvalue())
    print(f"{name}.png: {len(buffer.getvalue()) // 1000} kB")


def page_of(pdf: bytes, number: int) -> Image.Image:
    """Return one page of a PDF as a picture."""
    tool = shutil.which("pdftoppm")
    if tool is None:
        raise SystemExit("pdftoppm is missing: install poppler-utils.")
    asked = [tool, "-r", str(DOTS), "-png", "-gray", "-f", str(number), "-l", str(number), "-"]
    drawn = subprocess.run(asked, input=pdf, capture_output=True, check=True)
    return Image.open(io.BytesIO(drawn.stdout))


def told(client: TestClient) -> dict[str, str]:
    """Return the numbers of orders, an invoice and a credit note, the last three written here."""
    orders = client.get("/api/v1/orders").raise_for_status().json()["orders"]
    made = next(one["number"] for one in orders if one["state"] in ("finished", "making"))
    at = f"/api/v1/orders/{made}"
    client.post(f"{at}/payments", json={"amount": "20.00"}).raise_for_status()
    invoice = client.post(f"{at}/invoices").raise_for_status().json()["number"]
    part = {"amount": "5.00", "reason": "The rib came out a little loose."}
    credit = client.post(f"{at}/credit-notes", json=part).raise_for_status().json()["number"]
    largest = client.post("/api/v1/orders", json=LARGEST_HOOD).raise_for_status().json()["number"]
    return {"made": made, "invoice": invoice, "credit": credit, "largest": largest}


def preview(client: TestClient, made: str) -> Image.Image:
    """Return the page that shows a mail before it is sent, as a browser draws it."""

    def answer(route: Route) -> None:
        path = route.request.url.removeprefix("http://shop.test")
        found = client.get(path, headers={"Accept-Encoding": "identity"})
        route.fulfill(status=found.status_code, headers=dict(found.headers), body=found.content)

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=shutil.which("chromium"))
        page = browser.new_page(viewport={"width": 760, "height": 900})
        page.route("**/*", answer)
        page.goto(f"http://shop.test/orders/{made}/papers/care")
        drawn = page.screenshot()
        browser.close()
    return Image.open(io.BytesIO(drawn))


def pictures(client: TestClient) -> Iterator[tuple[str, Image.Image]]:
    """Yield the name and the picture of each paper, then that of a mail."""
    numbers = told(client)
    for name, (address, page) in PAPERS.items():
        pdf = client.get(f"/api/v1/{address.format(**numbers)}").raise_for_status().content
        yield name, page_of(pdf, page)
    yield "mail", preview(client, numbers["made"])


def main() -> None:
    """Draw all pictures."""
    with TemporaryDirectory() as folder:
        database = open_database(f"sqlite:///{folder}/demo.sqlite")
        upgrade(database.engine)
        with database.writing() as session:
            fill_demo(session, NOW)
        let_in(database, NOW)
        client = known(TestClient(create_app(database, lambda: NOW)))
        for name, picture in pictures(client):
            save(name, picture)
        database.close()


if __name__ == "__main__":
    main()
