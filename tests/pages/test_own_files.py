"""Our own files: compressed, kept for good under an address that names what they hold."""

import gzip
import re

import pytest
from sqlalchemy import event

from service.db import Database
from service.web.files import FOLDER, FOR_GOOD, own_address, own_files
from tests.pages.site import Site

NAMES = sorted(path.name for path in FOLDER.iterdir())


@pytest.mark.parametrize("name", NAMES)
def test_a_file_comes_as_it_is_whether_compressed_or_not(site: Site, name: str) -> None:
    was = (FOLDER / name).read_bytes()
    address = own_address(name)
    with site.client.stream("GET", address, headers={"Accept-Encoding": "gzip"}) as answer:
        raw = b"".join(answer.iter_raw())
    assert answer.headers["content-encoding"] == "gzip"
    assert gzip.decompress(raw) == was
    assert len(raw) < len(was)
    plain = site.client.get(address, headers={"Accept-Encoding": "identity"})
    assert "content-encoding" not in plain.headers
    assert plain.content == was
    for one in (answer, plain):
        assert one.headers["cache-control"] == FOR_GOOD
        assert one.headers["vary"] == "Accept-Encoding"
    assert plain.headers["etag"] != answer.headers["etag"]


def test_an_address_that_says_nothing_of_what_it_holds_is_asked_again(site: Site) -> None:
    for address in ("/static/style.css", "/static/style.css?v=0000000000000000"):
        first = site.client.get(address)
        assert first.headers["cache-control"] == "no-cache"
        again = site.client.get(address, headers={"If-None-Match": first.headers["etag"]})
        assert (again.status_code, again.content) == (304, b"")


def test_only_our_files_are_answered_and_only_to_be_got(site: Site) -> None:
    for path in ("/static/none.css", "/static/../application.py", "/static/"):
        assert site.client.get(path).status_code == 404
    head = site.client.head("/static/style.css")
    assert (head.status_code, head.content) == (200, b"")
    refused = site.client.post("/static/style.css")
    assert (refused.status_code, refused.headers["allow"]) == (405, "GET, HEAD")


def test_no_file_asks_the_database(site: Site, database: Database) -> None:
    asked: list[str] = []

    def note(_connection: object, _cursor: object, statement: str, *_more: object) -> None:
        asked.append(statement)

    event.listen(database.engine, "before_cursor_execute", note)
    assert site.client.get(own_address("style.css")).status_code == 200
    assert asked == []
    site.get("/account")
    assert asked


def test_every_page_asks_for_files_by_what_they_hold_and_scripts_wait(demo_site: Site) -> None:
    for path in ("/", "/orders/new", "/orders/2027-0001/bench", "/ask"):
        html = demo_site.client.get(path).text
        for name, mark in re.findall(r'"/static/([a-z.-]+)(?:\?v=([0-9a-f]+))?"', html):
            assert mark == own_files()[name].mark, name
        scripts = re.findall(r"<script src[^>]*>", html)
        assert all(" defer" in one for one in scripts), scripts
