"""Whoever signs in is told what was changed of how they come in, until they say that they know."""

import re
from collections.abc import Callable
from datetime import timedelta

import pytest
from sqlmodel import select
from starlette.testclient import TestClient

from service.doors.accounts import account_named
from service.doors.changes import note
from service.doors.roles import Purpose
from service.doorwords import MACHINE, Change
from service.models import AccessKey, DoorEvent
from tests.entering import cheap
from tests.service.conftest import OTHER, PASSWORD, Door
from tests.service.test_accounts import HELPER, account, invited, sent, shown

HEADING = "Something was changed of how you come in"


def signed_in(door: Door, name: str = "Odile", password: str = PASSWORD) -> TestClient:
    door.app.state.gate = cheap()  # type: ignore[attr-defined]  # no tries of before
    browser = door.browser()
    typed = {"name": name, "password": password}
    assert browser.post("/sign-in", data=typed, follow_redirects=False).status_code == 303
    return browser


def told(browser: TestClient, path: str = "/") -> list[str]:
    """Return the sentences of the notice on a page, without their moments."""
    text = browser.get(path).text
    found = re.search(r'<section class="banner news".*?</section>', text, re.DOTALL)
    return re.findall(r"<li>(.*?) <span", found[0]) if found else []


def listed(browser: TestClient) -> list[str]:
    found = re.search(r'<ul class="changes">.*?</ul>', browser.get("/account").text, re.DOTALL)
    return re.findall(r"<li>(.*?) <span", found[0]) if found else []


def knows(browser: TestClient, path: str = "/") -> str:
    """Press “I know” on a page; return where that leads."""
    section = browser.get(path).text.partition('<section class="banner news"')[2]
    fields = dict(re.findall(r'name="([^"]+)" value="([^"]+)"', section.partition("</form>")[0]))
    answer = browser.post("/account/known", data=fields, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    return answer.headers["Location"]


def _password(door: Door, maker: TestClient) -> str:
    del door
    sent(maker, "/account", "/account/password", password_now=PASSWORD, password=OTHER)
    return OTHER


def _link(door: Door, maker: TestClient) -> str:
    del maker
    typed = {"code": door.code(Purpose.PASSWORD, "odile"), "password": OTHER}
    assert door.browser().post("/sign-in", data=typed, follow_redirects=False).status_code == 303
    return OTHER


def _key(door: Door, maker: TestClient) -> str:
    del door
    shown(sent(maker, "/accounts", "/accounts/keys", key_name="till", scopes=["read"]))
    return PASSWORD


def _let_in(door: Door, maker: TestClient) -> str:
    del door
    shown(sent(maker, "/accounts", "/accounts", name=HELPER, role="maker"))
    return PASSWORD


def _out(door: Door, maker: TestClient) -> str:
    del door
    sent(maker, "/account", "/sign-out?everywhere=1")
    return PASSWORD


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (_password, "The password was changed."),
        (_link, "A one-time link was used, and a password chosen by it."),
        (_key, "A key for programs was made: “till”."),
        (_let_in, "Somebody was let in by a new account: “Hob Alder”."),
        (_out, "All browsers were signed out."),
    ],
)
def test_the_next_sign_in_is_told_of_a_change_until_it_is_known(
    door: Door, maker: TestClient, change: Callable[[Door, TestClient], str], sentence: str
) -> None:
    assert told(maker) == []
    password = change(door, maker)
    door.clock.now += timedelta(days=2)
    next_one = signed_in(door, password=password)
    assert told(next_one) == [sentence]
    assert told(next_one, "/account") == [sentence]
    text = next_one.get("/").text
    assert "Was that not you?" in text
    assert "hoodwright sign-in" in text
    assert "14 March 2026" in text  # when it was done, and not when it is told
    assert "Was it you?" in next_one.get("/orders").text  # a line on every other page

    assert knows(next_one) == "/"
    assert told(next_one) == []
    assert "Was it you?" not in next_one.get("/orders").text
    assert told(signed_in(door, password=password)) == []
    assert listed(next_one)[0] == sentence  # what was done stays written down
    with door.database.reading() as session:
        (row,) = [one for one in session.exec(select(DoorEvent)) if one.kind != "first password"]
    assert row.known_at == door.clock.now


def test_who_makes_a_change_is_not_told_and_cannot_know_of_it_for_others(
    door: Door, maker: TestClient
) -> None:
    other = signed_in(door)
    _key(door, maker)
    assert told(maker) == []
    assert told(other) == ["A key for programs was made: “till”."]  # at once, not only later
    with door.database.reading() as session:
        last = max(one.id or 0 for one in session.exec(select(DoorEvent)))
    sent(maker, "/account", "/account/known", until=str(last))
    assert told(other) == ["A key for programs was made: “till”."]
    assert knows(other, "/account") == "/account"
    assert told(other) == []


def test_what_came_after_the_page_is_not_known_by_it(door: Door, maker: TestClient) -> None:
    other = signed_in(door)
    _key(door, maker)
    page = other.get("/").text.partition('<section class="banner news"')[2]
    shown(sent(maker, "/accounts", "/accounts/keys", key_name="scales", scopes=["read"]))
    fields = dict(re.findall(r'name="([^"]+)" value="([^"]+)"', page.partition("</form>")[0]))
    other.post("/account/known", data=fields)
    assert told(other) == ["A key for programs was made: “scales”."]


def test_i_know_needs_the_pages_token_and_a_number(door: Door, maker: TestClient) -> None:
    other = signed_in(door)
    _key(door, maker)
    assert other.post("/account/known", data={"until": "999"}).status_code == 403
    for odd in ("", "x", "-1", "9" * 30, "²"):
        assert sent(other, "/account", "/account/known", until=odd).status_code == 422
    elsewhere = sent(other, "/account", "/account/known", until="1", back="//elsewhere.example")
    assert elsewhere.headers["Location"] == "/"
    assert told(other) == ["A key for programs was made: “till”."]


def test_each_account_is_told_of_its_own_and_by_whom(door: Door, maker: TestClient) -> None:
    helper = invited(door, maker)
    _key(door, maker)
    assert told(helper) == []
    sent(maker, "/accounts", f"/accounts/{account(door, HELPER).id}/link")
    link = "A one-time link for a new password was made, by Odile."
    assert told(helper) == [link]
    assert "tell the maker" in helper.get("/").text
    assert "keys for programs" not in helper.get("/").text
    assert told(maker) == []
    knows(helper)
    assert told(helper) == []
    with door.database.reading() as session:
        own = session.exec(select(DoorEvent).where(DoorEvent.kind == "key made")).one()
    assert own.known_at is None  # a helper's word is not the maker's


def test_the_first_password_is_no_news(door: Door, maker: TestClient) -> None:
    assert told(signed_in(door)) == []
    assert listed(maker) == ["The first password was chosen."]
    helper = invited(door, maker)
    assert told(helper) == []
    assert told(signed_in(door, HELPER, OTHER)) == []


def test_a_key_that_is_taken_back_twice_is_told_once(door: Door, maker: TestClient) -> None:
    other = signed_in(door)
    _key(door, maker)
    with door.database.reading() as session:
        number = session.exec(select(AccessKey)).one().id
    for _ in range(2):
        answer = sent(maker, "/accounts", f"/accounts/keys/{number}/shut")
        assert answer.status_code == 303
    assert told(other)[1:] == ["A key for programs was taken back: “till”."]


def test_what_fails_is_not_told(door: Door, maker: TestClient) -> None:
    sent(maker, "/account", "/account/password", password_now=OTHER, password=OTHER)
    sent(maker, "/account", "/account/password", password_now=PASSWORD, password="short")  # noqa: S106 - refused
    sent(maker, "/accounts", "/accounts/keys", key_name="", scopes=["read"])
    assert told(signed_in(door)) == []
    with door.database.reading() as session:
        assert len(session.exec(select(DoorEvent)).all()) == 1


def test_a_link_of_the_command_is_told_until_it_is_used(door: Door, maker: TestClient) -> None:
    with door.database.writing() as session:
        whose = account_named(session, "Odile")
        assert whose
        note(session, whose.id, Change.LINK, door.clock(), about=MACHINE)
    made = "A one-time link for a new password was made on the machine."
    assert told(maker) == [made]
    _link(door, maker)
    used = "A one-time link was used, and a password chosen by it."
    assert told(signed_in(door, password=OTHER)) == [used]


def test_an_account_that_was_removed_is_told_once(door: Door, maker: TestClient) -> None:
    shown(sent(maker, "/accounts", "/accounts", name=HELPER, role="helper"))
    other = signed_in(door)
    knows(other)
    way = f"/accounts/{account(door, HELPER).id}/shut"
    for _ in range(2):
        assert sent(maker, "/accounts", way).status_code == 303
    assert told(other) == ["An account was removed: “Hob Alder”."]
