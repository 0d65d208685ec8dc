"""One's own account, and who else may come in: the pages /account and /accounts, as a browser
without script uses them."""

import re
from datetime import timedelta

import pytest
from httpx2 import Response
from sqlmodel import select
from starlette.testclient import TestClient

from service.models import AccessKey, Account
from service.web.visitor import FIELD
from tests.entering import cheap
from tests.service.conftest import OTHER, PASSWORD, Door
from tests.service.test_coming_in import is_in

HELPER = "Hob Alder"


def sent(browser: TestClient, at: str, to: str, **typed: str | list[str]) -> Response:
    """Send a form of a page with the token that the page carries."""
    found = re.search(rf'name="{FIELD}" value="([^"]+)"', browser.get(at).text)
    assert found
    answer = browser.post(to, data={FIELD: found[1], **typed}, follow_redirects=False)
    assert answer.status_code < 500, answer.text
    return answer


def shown(answer: Response) -> str:
    """Return the link or the key that a page shows this once."""
    assert answer.status_code == 200, answer.text
    found = re.search(r'<textarea id="secret"[^>]*>([^<]+)</textarea>', answer.text)
    assert found, answer.text
    return found[1]


def account(door: Door, name: str) -> Account:
    with door.database.reading() as session:
        return session.exec(select(Account).where(Account.name == name)).one()


def invited(door: Door, maker: TestClient, role: str = "helper") -> TestClient:
    """Make an account by the page; return the browser of whoever chose its password."""
    link = shown(sent(maker, "/accounts", "/accounts", name=HELPER, role=role))
    code = link.partition("/sign-in?code=")[2]
    assert code
    browser = door.browser()
    typed = {"code": code, "password": OTHER}
    answer = browser.post("/sign-in", data=typed, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    return browser


def test_a_new_password_needs_the_one_of_now_and_signs_out_everywhere_else(
    door: Door, maker: TestClient
) -> None:
    elsewhere = door.browser()
    elsewhere.post("/sign-in", data={"name": "Odile", "password": PASSWORD})
    assert "in 2 browsers" in maker.get("/account").text

    answer = sent(maker, "/account", "/account/password", password_now=PASSWORD, password=OTHER)
    assert answer.headers["Location"] == "/account"
    assert is_in(maker)
    assert "in 1 browser" in maker.get("/account").text
    assert not is_in(elsewhere)
    assert door.knock("Odile", PASSWORD).status_code == 401
    assert door.knock("Odile", OTHER).status_code == 303


@pytest.mark.parametrize(
    ("now", "password", "said"),
    [
        ("not mine at all", OTHER, "That is not your password of now."),
        ("", OTHER, "That is not your password of now."),
        (PASSWORD, "short", "at least 12"),
        (PASSWORD, "passwordpassword", "easily guessed"),
        (PASSWORD, "x" * 129, "at most 128"),
    ],
)
def test_what_cannot_be_the_new_password_changes_nothing(
    door: Door, maker: TestClient, now: str, password: str, said: str
) -> None:
    answer = sent(maker, "/account", "/account/password", password_now=now, password=password)
    assert answer.status_code == 422
    assert said in answer.text
    assert is_in(maker)
    assert door.knock("Odile", PASSWORD).status_code == 303


def test_the_password_of_now_cannot_be_guessed_from_a_browser_that_was_left_open(
    door: Door, maker: TestClient
) -> None:
    door.app.state.gate = cheap()  # type: ignore[attr-defined]  # no tries of before
    wrong = [{"password_now": f"wrong {n}", "password": OTHER} for n in range(7)]
    tries = [sent(maker, "/account", "/account/password", **one).status_code for one in wrong]
    assert tries == [422] * 5 + [429] * 2
    right = {"password_now": PASSWORD, "password": OTHER}
    assert sent(maker, "/account", "/account/password", **right).status_code == 429
    door.clock.now += timedelta(minutes=2)
    assert sent(maker, "/account", "/account/password", **right).status_code == 303


def test_without_the_pages_token_no_password_is_changed(door: Door, maker: TestClient) -> None:
    answer = maker.post("/account/password", data={"password_now": PASSWORD, "password": OTHER})
    assert answer.status_code == 403
    assert door.knock("Odile", PASSWORD).status_code == 303


def test_signing_out_everywhere_leaves_no_browser_in(door: Door, maker: TestClient) -> None:
    elsewhere = door.browser()
    elsewhere.post("/sign-in", data={"name": "Odile", "password": PASSWORD})
    assert is_in(elsewhere)
    assert (
        sent(maker, "/account", "/sign-out?everywhere=1").headers["Location"] == "/sign-in?out=1"
    )
    assert not is_in(maker)
    assert not is_in(elsewhere)
    assert door.rows() == 0


@pytest.mark.parametrize("how", ["new password", "everywhere"])
def test_a_link_that_was_made_in_a_browser_left_open_ends_with_its_sign_in(
    door: Door, maker: TestClient, how: str
) -> None:
    whose = account(door, "Odile").id
    code = shown(sent(maker, "/accounts", f"/accounts/{whose}/link")).partition("code=")[2]
    assert "Choose your password" in door.browser().get(f"/sign-in?code={code}").text

    if how == "everywhere":
        sent(maker, "/account", "/sign-out?everywhere=1")
    else:
        typed = {"password_now": PASSWORD, "password": OTHER}
        assert sent(maker, "/account", "/account/password", **typed).status_code == 303
    assert "opens nothing" in door.browser().get(f"/sign-in?code={code}").text
    thief = {"code": code, "password": "eleven barrows on slate"}
    assert door.browser().post("/sign-in", data=thief).status_code == 404
    assert door.knock("Odile", OTHER if how == "new password" else PASSWORD).status_code == 303


def test_it_is_said_that_keys_stay_when_all_sign_out(door: Door, maker: TestClient) -> None:
    assert "stays good" not in maker.get("/account").text
    key = shown(sent(maker, "/accounts", "/accounts/keys", key_name="scale", scopes="read"))
    assert "1 key for programs stays good" in maker.get("/account").text
    sent(maker, "/account", "/sign-out?everywhere=1")
    program = door.browser()
    program.headers["Authorization"] = f"Bearer {key}"
    assert program.get("/api/v1/orders").status_code == 200


def test_a_helper_is_let_in_by_a_link_and_sees_no_accounts(door: Door, maker: TestClient) -> None:
    helper = invited(door, maker)
    assert account(door, HELPER).role == "helper"
    assert HELPER in helper.get("/account").text
    for path in ("/accounts", "/orders", "/buyers"):
        assert helper.get(path, follow_redirects=False).status_code == 403
    key: dict[str, str | list[str]] = {"key_name": "mine", "scopes": ["read"]}
    assert sent(helper, "/account", "/accounts/keys", **key).status_code == 403
    assert sent(helper, "/account", "/accounts", name="Nan", role="maker").status_code == 403
    first = account(door, "Odile").id
    assert sent(helper, "/account", f"/accounts/{first}/shut").status_code == 403
    assert is_in(maker)


@pytest.mark.parametrize(
    ("name", "said"), [("", "Write a name"), ("x" * 61, "at most 60"), ("ODILE", "of that name")]
)
def test_a_name_that_cannot_be_is_said_beside_it_and_stays_typed(
    door: Door, maker: TestClient, name: str, said: str
) -> None:
    answer = sent(maker, "/accounts", "/accounts", name=name, role="maker")
    assert answer.status_code == 422
    assert said in answer.text
    assert f'value="{name}"' in answer.text
    with door.database.reading() as session:
        assert len(session.exec(select(Account)).all()) == 1


def test_a_lost_password_is_chosen_anew_by_a_new_link(door: Door, maker: TestClient) -> None:
    helper = invited(door, maker)
    link = shown(sent(maker, "/accounts", f"/accounts/{account(door, HELPER).id}/link"))
    typed = {"code": link.partition("code=")[2], "password": PASSWORD}
    assert door.browser().post("/sign-in", data=typed, follow_redirects=False).status_code == 303
    assert helper.get("/account", follow_redirects=False).status_code == 303  # out by it
    assert door.knock(HELPER, OTHER).status_code == 401
    assert door.knock(HELPER, PASSWORD).status_code == 303


def test_a_key_is_shown_once_does_what_it_is_for_and_is_taken_back(
    door: Door, maker: TestClient
) -> None:
    key = shown(sent(maker, "/accounts", "/accounts/keys", key_name="till", scopes=["read"]))
    assert key not in maker.get("/accounts").text
    program = door.browser()
    program.headers["Authorization"] = f"Bearer {key}"
    assert program.get("/api/v1/orders").status_code == 200
    refused = program.post("/api/v1/yarns", json={})
    assert (refused.status_code, refused.json()["code"]) == (403, "not-yours")
    assert program.get("/orders", follow_redirects=False).status_code == 303  # no key opens pages

    with door.database.reading() as session:
        row = session.exec(select(AccessKey).where(AccessKey.name == "till")).one()
    assert key not in str(row)
    answer = sent(maker, "/accounts", f"/accounts/keys/{row.id}/shut")
    assert answer.headers["Location"] == "/accounts#keys"
    assert program.get("/api/v1/orders").status_code == 401
    assert "till" not in maker.get("/accounts").text


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"key_name": "", "scopes": ["read"]}, "Write what the key is for"),
        ({"key_name": "till"}, "Choose what the key is good for"),
        ({"key_name": "till", "scopes": ["everything"]}, "Choose what the key is good for"),
    ],
)
def test_a_key_for_nothing_is_not_made(
    door: Door, maker: TestClient, typed: dict[str, str | list[str]], said: str
) -> None:
    answer = sent(maker, "/accounts", "/accounts/keys", **typed)
    assert answer.status_code == 422
    assert said in answer.text
    with door.database.reading() as session:
        assert session.exec(select(AccessKey)).all() == []


def test_a_key_of_another_account_is_not_there(door: Door, maker: TestClient) -> None:
    shown(sent(maker, "/accounts", "/accounts/keys", key_name="till", scopes=["read"]))
    other = invited(door, maker, "maker")
    with door.database.reading() as session:
        row = session.exec(select(AccessKey)).one()
    assert sent(other, "/accounts", f"/accounts/keys/{row.id}/shut").status_code == 404
    assert "till" in maker.get("/accounts").text


def test_a_removed_account_is_out_at_once_with_its_keys(door: Door, maker: TestClient) -> None:
    other = invited(door, maker, "maker")
    key = shown(sent(other, "/accounts", "/accounts/keys", key_name="till", scopes=["read"]))
    program = door.browser()
    program.headers["Authorization"] = f"Bearer {key}"
    assert program.get("/api/v1/orders").status_code == 200

    answer = sent(maker, "/accounts", f"/accounts/{account(door, HELPER).id}/shut")
    assert answer.headers["Location"] == "/accounts"
    assert "shut" in maker.get("/accounts").text
    assert not is_in(other)
    assert program.get("/api/v1/orders").status_code == 401
    assert door.knock(HELPER, OTHER).status_code == 401


def test_the_last_maker_cannot_be_removed(door: Door, maker: TestClient) -> None:
    invited(door, maker)  # a helper alone could not let anybody in again
    first = account(door, "Odile").id
    answer = sent(maker, "/accounts", f"/accounts/{first}/shut")
    assert answer.status_code == 422
    assert "last maker" in answer.text
    assert is_in(maker)
    assert account(door, "Odile").shut_at is None


def test_how_strong_a_password_is_is_told_as_it_would_be_judged(maker: TestClient) -> None:
    def told(password: str) -> tuple[int, str]:
        answer = sent(maker, "/account", "/account/strength", password=password)
        assert answer.status_code == 200
        return answer.json()["score"], answer.json()["said"]

    assert told("")[0] == 0
    assert told("short")[0] == 1
    assert "at least 12" in told("short")[1]
    typed = "password1234"
    weak, why = told(typed)
    assert weak < 3
    assert "easily guessed" in why
    refused = sent(maker, "/account", "/account/password", password_now=PASSWORD, password=typed)
    assert refused.status_code == 422
    assert why.split("(")[0] in refused.text
    assert told("nine geese mend old kettles") == (4, "Hard to guess.")
    assert told("x" * 129)[1] == "Take at most 128 characters."


def test_how_strong_it_is_is_told_to_our_own_pages_alone(maker: TestClient) -> None:
    answer = maker.post("/account/strength", data={"password": "nine geese"})
    assert answer.status_code == 403
