"""A page for a database out of reach: what to do, and all that was typed, to be sent again."""

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from service.db import Database, open_database
from service.schema import upgrade
from service.web.application import create_app
from tests.entering import let_in, signed_in
from tests.pages.reading import Page
from tests.pages.site import BEAGLE, Site
from tests.service.api import FixedClock

NOTES = "Ears “like a bat”,\nfears the <hook> & the tape"


@pytest.fixture
def hurt(tmp_path: Path) -> Iterator[Database]:
    """A database of its own that a test may hurt."""
    database = open_database(f"sqlite:///{tmp_path / 'hoodwright.sqlite'}")
    upgrade(database.engine)
    let_in(database, FixedClock.now)
    yield database
    database.close()


@pytest.fixture
def own(hurt: Database) -> Site:
    """The pages over it."""
    app = create_app(hurt, FixedClock())
    return Site(signed_in(TestClient(app, raise_server_exceptions=False)))


def file_of(database: Database) -> Path:
    return Path(database.engine.url.database or "")


def test_what_was_typed_stands_on_the_page_and_is_sent_again_as_it_was(
    hurt: Database, own: Site
) -> None:
    form = own.get("/orders/new").form()
    typed = form.values | {name: [text] for name, text in BEAGLE.items()}
    typed |= {"notes": [NOTES], "dog.risks": ["chewer", "ear trouble"], "do": ["take"]}
    undo = file_of(hurt).with_name("away")
    file_of(hurt).rename(undo)
    page = own.send("/orders/new", typed, 503)

    assert page.heading == "The database does not answer"
    assert "Nothing that you typed is lost" in page.text
    assert "Ears “like a bat”" in page.text
    again = page.form()
    sent = {name: [t for t in texts if t] for name, texts in typed.items() if any(texts)}
    kept = {name: [t for t in texts if t] for name, texts in again.values.items() if any(texts)}
    assert kept == sent
    undo.rename(file_of(hurt))
    own.send("/orders/new", again.values)
    assert own.count() == 1
    own.send("/orders/new", again.values)  # pressed twice: the form has a key
    assert own.count() == 1


def test_a_page_that_cannot_be_read_offers_to_try_again(hurt: Database, own: Site) -> None:
    away = file_of(hurt).with_name("away")
    file_of(hurt).rename(away)
    for address in ("/", "/orders?q=x", "/yarns", "/shop"):
        page = own.get(address, 503)
        assert "Put it back" in page.text
        assert address in page.links()
    away.rename(file_of(hurt))
    own.get("/")


def test_an_owner_elsewhere_is_told_no_inside_and_keeps_what_was_typed(
    hurt: Database, own: Site
) -> None:
    shutil.copy(file_of(hurt), file_of(hurt).with_name("away"))
    file_of(hurt).rename(file_of(hurt).with_name("away"))
    answer = own.client.post(
        "/ask", data={"dog": "Pip", "neck": "36"}, headers={"accept-language": "de"}
    )

    assert answer.status_code == 503
    assert int(answer.headers["retry-after"]) > 0
    page = Page(answer.text)
    assert page.heading == "Gerade nicht"
    assert "/orders" not in page.links()
    assert str(file_of(hurt).parent) not in answer.text
    assert page.form().values == {"dog": ["Pip"], "neck": ["36"]}


def test_a_secret_is_not_shown_again(hurt: Database, own: Site) -> None:
    file_of(hurt).rename(file_of(hurt).with_name("away"))
    page = own.send(
        "/orders/new", {"dog.name": ["Pip"], "password": ["p4ss"], "do": ["take"]}, 503
    )

    assert "p4ss" not in page.text
    assert "password" not in page.form().values


def test_a_full_disk_says_so(hurt: Database, own: Site) -> None:
    own.get("/orders/new")
    with closing(sqlite3.connect(file_of(hurt))) as connection:
        connection.execute("PRAGMA wal_checkpoint")
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
    with hurt.engine.connect() as connection_:
        connection_.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    typed = {name: [text] for name, text in BEAGLE.items()} | {"notes": ["y" * 1900]}
    answer = own.client.get("/orders")
    for _ in range(20):
        form = own.get("/orders/new").form().values
        answer = own.client.post("/orders/new", data={**form, **typed, "do": ["take"]})
        if answer.status_code != 200:
            break
    assert answer.status_code == 507
    assert Page(answer.text).heading == "The disk is full"
    assert "y" * 1900 in answer.text
