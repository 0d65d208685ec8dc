"""A form is read as it was typed, whatever is typed, and once."""

from urllib.parse import parse_qsl, quote_plus, unquote_plus, urlencode

import pytest
from fastapi import HTTPException
from hypothesis import given
from hypothesis import strategies as st
from starlette.testclient import TestClient

from service.db import Database
from service.web.application import create_app
from service.web.gate import body
from service.web.sentform import MOST_FIELDS, fields_of, unquoted
from tests.entering import cheap, signed_in
from tests.service.api import Api, FixedClock, assert_problem

SIGNS = st.text(st.sampled_from("%=+&20aAfFgG_. \r\n\té;")) | st.text()


@given(st.lists(st.tuples(st.text(), st.text())))
def test_a_form_is_read_as_it_was_written(pairs: list[tuple[str, str]]) -> None:
    sent = [(name.encode("utf-8", "replace").decode(), t.encode("utf-8", "replace").decode())
            for name, t in pairs]  # fmt: skip
    assert fields_of(urlencode(sent).encode()) == sent


@given(SIGNS)
def test_signs_that_announce_no_byte_stand_for_themselves(text: str) -> None:
    raw = text.encode("utf-8", "replace").decode()
    assert unquoted(raw.encode()) == unquote_plus(raw)
    assert unquoted(quote_plus(raw).encode()) == raw


@given(SIGNS)
def test_fields_are_parted_as_elsewhere(text: str) -> None:
    raw = text.encode("utf-8", "replace").decode()
    assert fields_of(raw.encode()) == parse_qsl(raw, keep_blank_values=True)


def test_a_thousand_fields_are_read_and_one_more_is_not() -> None:
    assert len(fields_of(b"a=1&" * MOST_FIELDS)) == MOST_FIELDS
    with pytest.raises(HTTPException, match="too many fields"):
        fields_of(b"a=1&" * MOST_FIELDS + b"b=2")


@pytest.fixture
def browser(database: Database) -> TestClient:
    return signed_in(TestClient(create_app(database, FixedClock(), entrance=cheap())))


def test_a_form_that_is_too_large_is_refused(browser: TestClient) -> None:
    text = "x" * body.FORM
    answer = browser.post("/orders/new", data={"notes": text})
    assert answer.status_code == 413
    assert "150 kB at most" in answer.text
    answer = browser.post("/orders/new", data={"notes": text[:-100]})
    assert answer.status_code == 200
    assert text[:-100] in answer.text  # what cannot be taken is shown again, whole


def test_an_address_that_is_too_long_is_refused(api: Api, browser: TestClient) -> None:
    query = "q=" + "x" * (body.ADDRESS - 200)
    assert_problem(api.client.get(f"/api/v1/orders?{query}"), 422, "wrong-shape")
    assert_problem(api.client.get(f"/api/v1/orders?{query * 2}"), 414, "http")
    answer = browser.get(f"/orders?{query * 2}")
    assert answer.status_code == 414
    assert "8000 characters at most" in answer.text


def test_a_file_is_taken_on_the_page_for_files_alone(api: Api, browser: TestClient) -> None:
    file = {"file": ("a.csv", b"buyer\nTilda Fenwright\n", "text/csv")}
    assert browser.post("/bring-in", files=file, follow_redirects=False).status_code == 303
    answer = browser.post("/orders/new", files=file)
    assert answer.status_code == 415
    assert "No file is taken here" in answer.text
    answer = api.client.post("/api/v1/orders", files=file)
    assert_problem(answer, 415, "http")
