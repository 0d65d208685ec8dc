"""Bringing in over the pages: choose, look, do; what is wrong stands line by line."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from service.bringing.sheet import sample
from tests.pages.site import Site
from tests.pages.visitor import PHONE, WIDE, visit

WRONG = (
    sample().decode("utf-8-sig").replace("35.5 cm", "35.5 em").replace("14 1/2 in", "<b>14</b>")
)


def choose(site: Site, content: bytes, name: str = "orders.csv", status: int = 200) -> str:
    answer = site.client.post("/bring-in", files={"file": (name, content, "text/csv")})
    assert answer.status_code == status, answer.text
    site.at = answer.url.path
    return answer.text


@pytest.mark.parametrize("width", [WIDE, PHONE])
def test_a_file_is_chosen_looked_at_and_brought_in(
    browser: Browser, address: str, tmp_path: Path, width: int
) -> None:
    path = tmp_path / "orders.csv"
    path.write_bytes(sample())
    with visit(browser, address, width, script=False) as visitor:
        visitor.go("/shop")
        visitor.follow(visitor.page.get_by_role("link", name="Bring in, take out"))
        visitor.page.get_by_label("File").set_input_files(path)
        visitor.follow(visitor.page.get_by_role("button", name="Look at it first"))
        assert "order taken, handed over" in visitor.page.inner_text("main")
        visitor.follow(visitor.page.get_by_role("button", name="Bring it in"))
        assert visitor.page.inner_text("h1") == "Brought in"
        visitor.follow(visitor.page.get_by_role("link", name="To the orders"))
        assert "Sprocket" in visitor.page.inner_text("main")


def test_what_is_wrong_stands_line_by_line_as_text_and_nothing_is_brought_in(site: Site) -> None:
    html = choose(site, WRONG.encode())
    page = site.get(site.at)

    assert "“35.5 em” is not a measurement" in page.text
    assert "&lt;b&gt;14&lt;/b&gt;" in html
    assert "<b>14" not in html
    assert page.forms("/do") == []
    refused = site.client.post(f"{site.at}/do")
    assert refused.status_code == 409
    assert site.count() == 0


def test_a_file_that_is_none_is_told_on_the_form(site: Site) -> None:
    assert "Choose a file first" in choose(site, b"", status=422)
    assert "must name the columns" in choose(site, b"a,b\n1,2\n", status=422)
    answer = site.client.post("/bring-in", data={"file": "text instead of a file"})
    assert answer.status_code == 422


@pytest.mark.parametrize(
    "name", ["../../etc/passwd", "a\r\nSet-Cookie: x=1.csv", '"><script>alert(1)</script>.csv', ""]
)
def test_a_file_s_name_goes_nowhere(site: Site, name: str) -> None:
    answer = site.client.post("/bring-in", files={"file": (name, sample(), "text/csv")})

    assert "<script>alert" not in answer.text
    assert "set-cookie" not in answer.headers
    assert answer.status_code in {200, 422}


def test_a_file_of_another_site_is_refused(site: Site) -> None:
    headers = {"Sec-Fetch-Site": "cross-site"}
    files = {"file": ("a.csv", sample(), "text/csv")}

    assert site.client.post("/bring-in", files=files, headers=headers).status_code == 403


def test_a_file_that_is_gone_is_said_to_be(site: Site) -> None:
    assert "not here any more" in site.get("/bring-in/77", 404).text


def test_a_template_in_a_cell_stays_a_text(site: Site) -> None:
    text = sample().decode("utf-8-sig").replace("Wilhelmina Orrick", "{{ 7 * 7 }}{% raw %}")
    page = choose(site, text.encode())

    assert "{{ 7 * 7 }}{% raw %}" in page
    assert "49{%" not in page
