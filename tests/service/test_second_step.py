"""The second step at sign-in: codes by time, recovery codes, and the ways back."""

import re
from base64 import b32encode
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from threading import Barrier

import pytest
from httpx2 import Response
from sqlmodel import select
from starlette.testclient import TestClient

from service.doors.accounts import account_named
from service.doors.roles import Purpose
from service.doors.secondstep import address_of, code_at
from service.models import RecoveryCode, SecondStep, SignInCode
from tests.entering import cheap
from tests.service.api import FixedClock
from tests.service.conftest import OTHER, PASSWORD, Door
from tests.service.test_accounts import HELPER, account, invited, sent, shown
from tests.service.test_coming_in import is_in
from tests.service.test_door_news import told

RFC_KEY = b32encode(b"12345678901234567890").decode()
"""The key of the test vectors of RFC 4226, appendix D, and RFC 6238, appendix B (SHA-1)."""
STEP = timedelta(seconds=30)
REFUSED = "That code is not right, or was used before."


def key_of(door: Door, name: str = "Odile") -> str:
    whose = account(door, name).id
    with door.database.reading() as session:
        return session.get_one(SecondStep, whose).secret


def code(door: Door, name: str = "Odile", later: int = 0) -> str:
    """What the app shows now, or some steps later."""
    return code_at(key_of(door, name), door.clock.now + later * STEP)


def set_up(
    door: Door, browser: TestClient, name: str = "Odile", password: str = PASSWORD
) -> list[str]:
    """Switch the second step on by the pages; return the recovery codes."""
    asked = sent(browser, "/account", "/account/step", password_now=password)
    assert asked.status_code == 200, asked.text
    answer = sent(browser, "/account", "/account/step/on", code=code(door, name))
    assert answer.status_code == 200, answer.text
    codes = re.findall(r"<li><code>([^<]+)</code></li>", answer.text)
    assert len(set(codes)) == 10
    door.clock.now += STEP  # a code is good once
    return codes


def half_in(
    door: Door, name: str = "Odile", password: str = PASSWORD, **more: str
) -> tuple[TestClient, dict[str, str]]:
    """Give the right password; return the browser and what its page of the second step holds."""
    browser = door.browser()
    typed = {"name": name, "password": password, **more}
    answer = browser.post("/sign-in", data=typed, follow_redirects=False)
    assert answer.status_code == 200, answer.text
    assert "Set-Cookie" not in answer.headers
    form = answer.text.partition('action="/sign-in/step"')[2].partition("</form>")[0]
    fields = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', form))
    assert fields["step"]
    return browser, fields


def step(browser: TestClient, fields: dict[str, str], typed: str) -> Response:
    return browser.post("/sign-in/step", data={**fields, "code": typed}, follow_redirects=False)


@pytest.mark.parametrize(
    ("seconds", "eight"),
    [
        (59, "94287082"),
        (1111111109, "07081804"),
        (1111111111, "14050471"),
        (1234567890, "89005924"),
        (2000000000, "69279037"),
        (20000000000, "65353130"),
    ],
)
def test_codes_are_those_of_rfc_6238_appendix_b(seconds: int, eight: str) -> None:
    """The rows by SHA-1 have eight digits; ours are the last six (RFC 4226, section 5.3)."""
    assert code_at(RFC_KEY, datetime.fromtimestamp(seconds, UTC)) == eight[2:]


def test_codes_are_those_of_rfc_4226_appendix_d() -> None:
    told = [
        "755224",
        "287082",
        "359152",
        "969429",
        "338314",
        "254676",
        "287922",
        "162583",
        "399871",
        "520489",
    ]
    found = [code_at(RFC_KEY, datetime.fromtimestamp(30 * n, UTC)) for n in range(10)]
    assert found == told


def test_the_key_is_told_as_apps_read_it() -> None:
    assert address_of(RFC_KEY, "Odile & Söhne") == (
        f"otpauth://totp/Hoodwright:Odile%20%26%20S%C3%B6hne?secret={RFC_KEY}&issuer=Hoodwright"
    )


def test_it_is_on_only_after_a_right_code(door: Door, maker: TestClient) -> None:
    asked = sent(maker, "/account", "/account/step", password_now=PASSWORD)
    assert '<svg viewBox="0 0 ' in asked.text
    assert "style=" not in asked.text
    assert key_of(door) in re.sub(r"\s", "", asked.text)
    assert len(key_of(door)) == 32  # of five bits: 160, as RFC 4226 recommends (section 4, R6)
    assert door.knock("Odile", PASSWORD).status_code == 303  # not asked yet

    for wrong in ("", "12345", "abcdef", "1234567", code(door, later=2), code(door, later=-2)):
        answer = sent(maker, "/account", "/account/step/on", code=wrong)
        assert answer.status_code == 422
        assert REFUSED in answer.text
        assert '<svg viewBox="0 0 ' in answer.text  # the same key, to try again
    assert door.knock("Odile", PASSWORD).status_code == 303

    answer = sent(
        maker, "/account", "/account/step/on", code=f" {code(door)[:3]} {code(door)[3:]}"
    )
    assert answer.status_code == 200
    assert "The second step is on." in answer.text
    assert key_of(door) not in re.sub(r"\s", "", maker.get("/account").text)
    assert "10 recovery codes are left" in maker.get("/account").text
    assert door.knock("Odile", PASSWORD).status_code == 200  # the page that asks for a code
    again = sent(maker, "/account", "/account/step", password_now=PASSWORD)
    assert again.status_code == 409
    assert "on already" in again.text


def test_a_key_that_was_shown_waits_an_hour(door: Door, maker: TestClient) -> None:
    sent(maker, "/account", "/account/step", password_now=PASSWORD)
    door.clock.now += timedelta(hours=1)
    answer = sent(maker, "/account", "/account/step/on", code=code(door))
    assert "That took too long" in answer.text
    assert door.knock("Odile", PASSWORD).status_code == 303


def test_it_needs_the_password_and_the_pages_token(door: Door, maker: TestClient) -> None:
    assert sent(maker, "/account", "/account/step", password_now=OTHER).status_code == 422
    for path in ("", "/on", "/off", "/codes"):
        answer = maker.post(f"/account/step{path}", data={"password_now": PASSWORD, "code": "1"})
        assert answer.status_code == 403
    with door.database.reading() as session:
        assert session.exec(select(SecondStep)).all() == []


def test_whoever_has_it_on_comes_in_by_password_and_code(door: Door, maker: TestClient) -> None:
    set_up(door, maker)
    browser, fields = half_in(door, to="/shop")
    assert not is_in(browser)
    assert fields["step"] not in str(door.knock("Odile", PASSWORD).headers)
    answer = step(browser, fields, code(door))
    assert (answer.status_code, answer.headers["Location"]) == (303, "/shop")
    assert is_in(browser)
    again = step(door.browser(), fields, code(door, later=1))
    assert again.status_code == 401  # what waited is used up
    assert "Sign in once more" in again.text


def test_whoever_has_it_off_comes_in_as_before(door: Door, maker: TestClient) -> None:
    helper = invited(door, maker)
    set_up(door, maker)
    assert door.knock(HELPER, OTHER).status_code == 303
    assert is_in(maker)
    assert helper.get("/account").status_code == 200


def test_a_code_is_good_once_and_none_before_it_any_more(door: Door, maker: TestClient) -> None:
    set_up(door, maker)
    used = code(door)
    browser, fields = half_in(door)
    assert step(browser, fields, used).status_code == 303
    before = code(door, later=-1)
    for replayed in (used, before):
        browser, fields = half_in(door)
        answer = step(browser, fields, replayed)
        assert answer.status_code == 401
        assert REFUSED in answer.text
        assert "Set-Cookie" not in answer.headers
    door.clock.now += STEP
    browser, fields = half_in(door)
    assert step(browser, fields, code(door)).status_code == 303


def test_the_code_that_switched_it_on_does_not_open(door: Door, maker: TestClient) -> None:
    sent(maker, "/account", "/account/step", password_now=PASSWORD)
    first = code(door)
    sent(maker, "/account", "/account/step/on", code=first)
    assert step(*half_in(door), first).status_code == 401


@pytest.mark.parametrize(("later", "status"), [(-2, 401), (-1, 303), (0, 303), (1, 303), (2, 401)])
def test_clocks_may_differ_by_one_step(
    door: Door, maker: TestClient, later: int, status: int
) -> None:
    set_up(door, maker)
    door.clock.now += 5 * STEP
    assert step(*half_in(door), code(door, later=later)).status_code == status


def test_codes_are_slowed_down_and_the_account_is_told(door: Door, maker: TestClient) -> None:
    set_up(door, maker)
    door.app.state.gate = cheap()  # type: ignore[attr-defined]  # no tries of before
    wrong = code(door, later=40)
    statuses = [step(*half_in(door), wrong).status_code for _ in range(7)]
    assert statuses == [401] * 5 + [429] * 2
    browser, fields = half_in(door)
    answer = step(browser, fields, code(door))  # even the right one waits
    assert answer.status_code == 429
    assert int(answer.headers["Retry-After"]) >= 1
    assert told(maker) == ["The right password was given, and wrong codes after it."]
    door.clock.now += timedelta(seconds=2)
    assert step(browser, fields, code(door)).status_code == 303


def test_pauses_between_codes_grow_to_a_quarter_of_an_hour(door: Door) -> None:
    del door
    codes, now = cheap().tries.codes, FixedClock.now
    for _ in range(20):
        codes.begin("1", now)
    assert codes.wait("1", now) == 900


def test_a_right_password_waits_ten_minutes_and_not_for_another_one(
    door: Door, maker: TestClient
) -> None:
    set_up(door, maker)
    browser, fields = half_in(door)
    door.clock.now += timedelta(minutes=10)
    answer = step(browser, fields, code(door))
    assert answer.status_code == 401
    assert "Sign in once more" in answer.text

    browser, fields = half_in(door)
    sent(maker, "/account", "/account/password", password_now=PASSWORD, password=OTHER)
    assert step(browser, fields, code(door)).status_code == 401
    for made_up in ("", "x" * 22, "' OR 1=1 --"):
        assert step(browser, {"step": made_up}, code(door)).status_code == 401


def test_what_waits_for_a_code_is_no_link_for_a_password(door: Door, maker: TestClient) -> None:
    set_up(door, maker)
    _, fields = half_in(door)
    assert "opens nothing" in door.browser().get(f"/sign-in?code={fields['step']}").text
    typed = {"code": fields["step"], "password": OTHER}
    assert door.browser().post("/sign-in", data=typed).status_code == 404
    link = door.code(Purpose.PASSWORD, "odile")
    assert step(door.browser(), {"step": link}, code(door)).status_code == 401
    with door.database.reading() as session:
        kept = session.exec(select(SignInCode)).all()
    assert fields["step"] not in str(kept)


def test_a_recovery_code_is_good_once_and_told(door: Door, maker: TestClient) -> None:
    codes = set_up(door, maker)
    with door.database.reading() as session:
        kept = str(session.exec(select(RecoveryCode)).all())
    assert not [one for one in codes if one in kept or one.replace("-", "") in kept]
    browser, fields = half_in(door)
    assert step(browser, fields, codes[0].upper().replace("-", " ")).status_code == 303
    assert is_in(browser)
    assert "9 recovery codes are left" in browser.get("/account").text
    assert told(maker) == ["A recovery code was used to come in."]
    assert told(browser) == ["The second step was switched on."]  # of its own it knows
    assert step(*half_in(door), codes[0]).status_code == 401
    assert step(*half_in(door), codes[1]).status_code == 303


def test_new_recovery_codes_end_the_old_ones(door: Door, maker: TestClient) -> None:
    old = set_up(door, maker)
    assert sent(maker, "/account", "/account/step/codes", password_now=OTHER).status_code == 422
    answer = sent(maker, "/account", "/account/step/codes", password_now=PASSWORD)
    new = re.findall(r"<li><code>([^<]+)</code></li>", answer.text)
    assert len(set(new)) == 10
    assert not set(new) & set(old)
    assert step(*half_in(door), old[0]).status_code == 401
    assert step(*half_in(door), new[0]).status_code == 303


def test_switching_it_off_needs_the_password_and_forgets_the_key(
    door: Door, maker: TestClient
) -> None:
    codes = set_up(door, maker)
    assert sent(maker, "/account", "/account/step/off", password_now=OTHER).status_code == 422
    assert door.knock("Odile", PASSWORD).status_code == 200
    assert sent(maker, "/account", "/account/step/off", password_now=PASSWORD).status_code == 303
    assert door.knock("Odile", PASSWORD).status_code == 303
    with door.database.reading() as session:
        assert session.exec(select(SecondStep)).all() == []
        assert session.exec(select(RecoveryCode)).all() == []
    other = sent(maker, "/account", "/account/step/codes", password_now=PASSWORD)
    assert "not on" in other.text
    set_up(door, maker)
    assert step(*half_in(door), codes[0]).status_code == 401


def test_a_one_time_link_is_the_way_back_and_switches_it_off(
    door: Door, maker: TestClient
) -> None:
    set_up(door, maker)
    link = door.code(Purpose.PASSWORD, "odile")
    browser = door.browser()
    assert "switched off by this link" in browser.get(f"/sign-in?code={link}").text
    typed = {"code": link, "password": OTHER}
    assert browser.post("/sign-in", data=typed, follow_redirects=False).status_code == 303
    on, off = "The second step was switched on.", "The second step was switched off."
    assert told(browser) == [on, off]
    assert door.knock("Odile", OTHER).status_code == 303


def test_a_helper_has_a_second_step_of_their_own(door: Door, maker: TestClient) -> None:
    helper = invited(door, maker)
    set_up(door, helper, HELPER, OTHER)
    assert door.knock("Odile", PASSWORD).status_code == 303
    browser, fields = half_in(door, HELPER, OTHER)
    assert step(browser, fields, code(door, HELPER)).status_code == 303
    assert browser.get("/account").status_code == 200
    assert browser.get("/orders", follow_redirects=False).status_code == 403
    link = shown(sent(maker, "/accounts", f"/accounts/{account(door, HELPER).id}/link"))
    typed = {"code": link.partition("code=")[2], "password": PASSWORD}
    assert door.browser().post("/sign-in", data=typed, follow_redirects=False).status_code == 303
    assert door.knock(HELPER, PASSWORD).status_code == 303


def test_a_code_of_one_account_opens_no_other(door: Door, maker: TestClient) -> None:
    helper = invited(door, maker)
    set_up(door, maker)
    others = set_up(door, helper, HELPER, OTHER)
    door.clock.now += 5 * STEP
    assert step(*half_in(door), code(door, HELPER)).status_code == 401
    assert step(*half_in(door), others[0]).status_code == 401


def test_without_a_password_there_is_no_second_step(door: Door, maker: TestClient) -> None:
    with door.database.writing() as session:
        whose = account_named(session, "Odile")
        assert whose
        whose.password = ""
        session.add(whose)
    assert "Choose a password first" in maker.get("/account").text
    assert "Choose a password first" in sent(maker, "/account", "/account/step").text
    with door.database.reading() as session:
        assert session.exec(select(SecondStep)).all() == []


def test_what_is_changed_of_it_is_told_elsewhere(door: Door, maker: TestClient) -> None:
    other = door.browser()
    other.post("/sign-in", data={"name": "Odile", "password": PASSWORD})
    set_up(door, maker)
    sent(maker, "/account", "/account/step/codes", password_now=PASSWORD)
    sent(maker, "/account", "/account/step/off", password_now=PASSWORD)
    assert told(maker) == []
    assert told(other) == [
        "The second step was switched on.",
        "New recovery codes were made; the old ones are good for nothing.",
        "The second step was switched off.",
    ]


def test_of_two_at_once_a_code_lets_one_in(door: Door, maker: TestClient) -> None:
    codes = set_up(door, maker)
    for typed in (code(door), codes[0]):
        door.app.state.gate = cheap()  # type: ignore[attr-defined]  # no tries of before
        halves = [half_in(door) for _ in range(4)]
        at_once = Barrier(len(halves))

        def given(half: tuple[TestClient, dict[str, str]], typed: str, at_once: Barrier) -> int:
            at_once.wait(10)
            return step(*half, typed).status_code

        with ThreadPoolExecutor(len(halves)) as pool:
            tried = [pool.submit(given, half, typed, at_once) for half in halves]
            statuses = sorted(one.result() for one in tried)
        assert statuses == [303, 401, 401, 401]
