"""Coming in: by a code, by name and password; and how long it lasts."""

import re
from collections.abc import Callable
from datetime import timedelta

import pytest
from httpx2 import Response
from sqlmodel import select
from starlette.testclient import TestClient

from service.demo import MAKER, fill_demo
from service.doors import accounts, codes, sessions
from service.doors.entrance import Entrance
from service.doors.listening import ListeningError, check_listening
from service.doors.passwords import Hasher, Strength, check_strength, strength
from service.doors.pauses import Pauses
from service.doors.roles import Purpose, Role
from service.errors import UnreadableError
from service.models import Account, SignIn, SignInCode
from service.settings import Settings
from service.web.visitor import COOKIE, FIELD
from tests.entering import cheap
from tests.service.api import FixedClock
from tests.service.conftest import OTHER, PASSWORD, Door


def is_in(browser: TestClient) -> bool:
    return browser.get("/orders", follow_redirects=False).status_code == 200


def test_the_first_start_ends_in_the_shop(door: Door) -> None:
    browser, code = door.browser(), door.code()
    page = browser.get("/sign-in", params={"code": code})
    assert "Choose your password" in page.text
    # Not none at all: then a browser would not tell that the form is from a page of ours.
    assert page.headers["Referrer-Policy"] == "same-origin"
    assert not is_in(browser)

    sent = {"code": code, "name": " Odile  Marrow ", "password": PASSWORD, "to": "/shop"}
    answer = browser.post("/sign-in", data=sent, follow_redirects=False)
    assert answer.headers["Location"] == "/shop"
    cookie = answer.headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=lax" in cookie
    assert "Path=/" in cookie
    assert "Secure" not in cookie
    assert is_in(browser)
    assert "Odile Marrow" in browser.get("/").text
    with door.database.reading() as session:
        (account,) = session.exec(select(Account)).all()
        assert account.password.startswith("$argon2id$v=19$")
        assert PASSWORD not in account.password
        (row,) = session.exec(select(SignIn)).all()
        assert row.token_hash not in cookie
        assert browser.cookies[COOKIE] not in str(row)

    again = door.browser().post("/sign-in", data=sent)
    assert again.status_code == 404
    assert "works once" in again.text


@pytest.mark.parametrize(
    ("name", "password", "said"),
    [
        ("", PASSWORD, "Write a name"),
        ("x" * 61, PASSWORD, "at most 60"),
        ("Odile", "short", "at least 12"),
        ("Odile", "passwordpassword", "easily guessed"),
        ("Odile Marrow", "odile marrow", "easily guessed"),
        ("Odile", "x" * 129, "at most 128"),
    ],
)
def test_what_cannot_be_taken_is_said_and_the_code_stays_good(
    door: Door, name: str, password: str, said: str
) -> None:
    sent = {"code": door.code(), "name": name, "password": password}
    answer = door.browser().post("/sign-in", data=sent)
    assert answer.status_code == 422
    assert said in answer.text
    assert name in answer.text
    assert password not in answer.text or not password or len(password) < 9
    assert door.rows() == 0

    sent |= {"name": "Odile", "password": PASSWORD}
    assert door.browser().post("/sign-in", data=sent).status_code == 200


def test_a_code_ends_after_an_hour_and_with_the_next_one(door: Door) -> None:
    first = door.code()
    second = door.code()
    for code in (first, "x" * 22, "' OR 1=1 --"):
        assert "opens nothing" in door.browser().get(f"/sign-in?code={code}").text
    door.clock.now += timedelta(hours=1)
    assert "opens nothing" in door.browser().get(f"/sign-in?code={second}").text


def test_a_lost_password_is_chosen_anew_and_the_old_sign_ins_end(door: Door) -> None:
    before = door.made()
    sent = {"code": door.code(Purpose.PASSWORD, "odile"), "password": OTHER}
    after = door.browser()
    assert after.post("/sign-in", data=sent, follow_redirects=False).status_code == 303

    assert is_in(after)
    assert not is_in(before)
    assert door.knock("Odile", PASSWORD).status_code == 401
    assert door.knock(" ODILE ", OTHER).status_code == 303


def test_the_demo_shop_is_entered_by_its_link_once(door: Door) -> None:
    with door.database.writing() as session:
        fill_demo(session, door.clock())
        code = codes.way_in(session, door.clock())
    browser = door.browser()
    page = browser.get(f"/sign-in?code={code}")
    assert page.url.path == "/"
    assert MAKER in page.text

    assert browser.get(f"/sign-in?code={code}").url.path == "/"  # who is in goes on
    assert "opens nothing" in door.browser().get(f"/sign-in?code={code}").text
    assert door.knock(MAKER, "").status_code == 401  # no password is not an empty one


def test_there_is_no_link_into_a_shop_that_has_a_password(door: Door) -> None:
    door.made()
    with door.database.writing() as session:
        assert codes.way_in(session, door.clock()) == ""


def test_a_sign_in_is_new_each_time_and_one_planted_before_is_worth_nothing(door: Door) -> None:
    door.made()
    browser = door.browser()
    browser.cookies.set(COOKIE, "planted")
    sent = {"name": "Odile", "password": PASSWORD}
    browser.post("/sign-in", data=sent)
    first = browser.cookies.jar
    secrets = {one.value or "" for one in first}
    assert len(secrets - {"planted"}) == 1
    planted = door.browser()
    planted.cookies.set(COOKIE, "planted")
    assert not is_in(planted)

    again = door.browser()
    (secret,) = secrets - {"planted"}
    again.cookies.set(COOKIE, secret)
    assert is_in(again)
    answer = again.post("/sign-in", data=sent, follow_redirects=False)
    assert secret not in answer.headers["Set-Cookie"]
    old = door.browser()
    old.cookies.set(COOKIE, secret)
    assert not is_in(old)


def test_a_sign_in_ends_when_it_is_not_used_and_in_any_case(door: Door) -> None:
    browser = door.made()
    door.clock.now += sessions.IDLE - timedelta(minutes=1)
    assert is_in(browser)
    door.clock.now += sessions.IDLE
    assert not is_in(browser)

    assert door.knock("Odile", PASSWORD).status_code == 303
    kept = door.browser()
    kept.post("/sign-in", data={"name": "Odile", "password": PASSWORD})
    for _ in range(5):
        door.clock.now += timedelta(days=6) - timedelta(minutes=1)
        assert is_in(kept)
    door.clock.now += timedelta(minutes=5)
    assert not is_in(kept)


def test_signing_out_ends_it_on_the_server_and_everywhere_if_asked(door: Door) -> None:
    one, two, three = door.made(), door.browser(), door.browser()
    for browser in (two, three):
        browser.post("/sign-in", data={"name": "Odile", "password": PASSWORD})
    secret = two.cookies[COOKIE]

    def out(browser: TestClient, query: str = "") -> Response:
        found = re.search(rf'name="{FIELD}" value="([^"]+)"', browser.get("/").text)
        assert found
        sent = {FIELD: found[1]}
        return browser.post(f"/sign-out{query}", data=sent, follow_redirects=False)

    assert two.post("/sign-out").status_code == 403
    answer = out(two)
    assert answer.headers["Location"] == "/sign-in?out=1"
    assert answer.headers["Clear-Site-Data"] == '"cache"'
    assert COOKIE not in two.cookies
    two.cookies.set(COOKIE, secret)
    assert not is_in(two)
    assert is_in(one)

    out(three, "?everywhere=1")
    assert not is_in(one)
    assert door.rows() == 0


def test_tries_are_answered_alike_and_then_slowed_down(door: Door) -> None:
    door.made()
    door.app.state.gate = cheap()  # type: ignore[attr-defined]
    answers = {}
    for name in ("Odile", "Nobody"):
        answers[name] = [door.knock(name, "wrong password") for _ in range(7)]
    for one, other in zip(answers["Odile"], answers["Nobody"], strict=True):
        assert one.status_code == other.status_code
        assert one.text.replace("Odile", "Nobody") == other.text
    statuses = [one.status_code for one in answers["Odile"]]
    assert statuses == [401] * 5 + [429] * 2
    assert int(answers["Odile"][-1].headers["Retry-After"]) >= 1

    assert door.knock("Odile", PASSWORD).status_code == 429  # even the right one waits
    door.clock.now += timedelta(seconds=2)
    assert door.knock("Odile", PASSWORD).status_code == 303
    assert door.knock("Odile", PASSWORD).status_code == 303


def test_an_address_that_tries_many_names_is_slowed_down(door: Door) -> None:
    door.made()
    door.app.state.gate = cheap()  # type: ignore[attr-defined]
    statuses = [door.knock(f"name {n}", "wrong password").status_code for n in range(17)]
    assert statuses == [401] * 15 + [429] * 2


def test_pauses_grow_to_a_longest_and_are_forgotten() -> None:
    pauses, now = Pauses(2, 60), FixedClock.now
    waits = []
    for _ in range(9):
        pauses.begin("odile", now)
        waits.append(pauses.wait("odile", now))
    assert waits == [0, 1, 2, 4, 8, 16, 32, 60, 60]
    assert pauses.wait("other", now) == 0
    now += timedelta(hours=1)
    pauses.begin("odile", now)
    assert pauses.wait("odile", now) == 0
    # A hundred guesses an hour at most, at one account (ASVS 4.0.3, 2.2.1).
    assert 2 + 7 + 3600 / 60 < 100


def test_a_name_that_there_is_not_costs_as_much_as_one_that_there_is(
    door: Door, monkeypatch: pytest.MonkeyPatch
) -> None:
    door.made()
    checked: list[str] = []
    real = Hasher.fits

    def counted(self: Hasher, kept: str, password: str) -> bool:
        checked.append(kept)
        return real(self, kept, password)

    monkeypatch.setattr(Hasher, "fits", counted)
    assert door.knock("Odile", "wrong password").status_code == 401
    assert door.knock("Nobody", "wrong password").status_code == 401
    assert len(checked) == 2
    assert checked[1] == ""


def test_a_hash_is_made_anew_when_it_shall_cost_more(door: Door) -> None:
    door.made()
    dearer = Hasher(rounds=2, memory_kib=16, lanes=1)
    door.app.state.gate = Entrance(hasher=dearer)  # type: ignore[attr-defined]
    assert door.knock("Odile", PASSWORD).status_code == 303
    with door.database.reading() as session:
        (account,) = session.exec(select(Account)).all()
    assert "m=16,t=2,p=1" in account.password
    assert door.knock("Odile", PASSWORD).status_code == 303


def test_what_is_kept_of_a_password_costs_what_owasp_wants_at_least() -> None:
    hasher = Hasher()
    kept = hasher.hash(PASSWORD)
    # OWASP, Password Storage Cheat Sheet: 19 MiB, two rounds, one lane.
    assert kept.startswith("$argon2id$v=19$m=19456,t=2,p=1$")
    dearer = Hasher(rounds=3, memory_kib=65_536, lanes=4).hash(PASSWORD)
    assert hasher.fits(dearer, PASSWORD)
    assert hasher.is_old(dearer)
    assert hasher.fits(kept, PASSWORD)
    assert not hasher.fits(kept, OTHER)
    assert not hasher.fits("", "nobody")
    assert hasher.fits(
        hasher.hash("caf\u00e9 kettles under moss"), "cafe\u0301 kettles under moss"
    )


@pytest.mark.parametrize(
    "password", ["abcdefghijkl", "qwertyuiop12", "aaaaaaaaaaaaa", "hoodwrighthood"]
)
def test_a_password_that_is_guessed_soon_is_refused(password: str) -> None:
    with pytest.raises(UnreadableError, match="easily guessed"):
        check_strength(password, "Odile")


def test_a_shut_account_is_out_at_once(door: Door) -> None:
    browser = door.made()
    with door.database.writing() as session:
        other = accounts.make_account(session, "Hob Alder", Role.MAKER, door.clock())
        accounts.set_password(session, other, OTHER, Hasher(1, 8, 1))
        with pytest.raises(UnreadableError, match="There is an account"):
            accounts.make_account(session, "HOB alder", Role.HELPER, door.clock())
    with door.database.writing() as session:
        first = accounts.account_named(session, "Odile")
        assert first
        accounts.shut(session, first, door.clock())
        last = accounts.account_named(session, "Hob Alder")
        assert last
        with pytest.raises(UnreadableError, match="last maker"):
            accounts.shut(session, last, door.clock())

    assert not is_in(browser)
    assert door.knock("Odile", PASSWORD).status_code == 401
    assert door.knock("Hob Alder", OTHER).status_code == 303


@pytest.mark.parametrize(
    ("to", "where"),
    [
        ("/orders/2026-0001?at=3", "/orders/2026-0001?at=3"),
        ("https://elsewhere.example/", "/"),
        ("//elsewhere.example/", "/"),
        ("/\\elsewhere.example", "/"),
        ("/a\r\nSet-Cookie: x=y", "/"),
        ("/sign-out", "/"),
    ],
)
def test_nobody_is_led_elsewhere(door: Door, to: str, where: str) -> None:
    door.made()
    assert door.knock("Odile", PASSWORD, to=to).headers["Location"] == where


def test_another_site_signs_nobody_in(door: Door) -> None:
    door.made()
    answer = door.browser().post(
        "/sign-in",
        data={"name": "Odile", "password": PASSWORD},
        headers={"Sec-Fetch-Site": "cross-site"},
    )
    assert answer.status_code == 403
    assert "Set-Cookie" not in answer.headers


def test_codes_are_kept_as_digests(door: Door) -> None:
    code = door.code()
    with door.database.reading() as session:
        (row,) = session.exec(select(SignInCode)).all()
    assert code not in str(row)


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.0.2.7", "shop.example"])  # noqa: S104 - refused
def test_it_listens_to_others_only_with_a_password_and_tls(door: Door, host: str) -> None:
    open_ones = Settings(tls_proxy="127.0.0.1", address="https://hoods.example")
    with door.database.reading() as session:
        with pytest.raises(ListeningError, match="nobody has set a password yet"):
            check_listening(session, host, open_ones)
        for near in ("127.0.0.1", "::1", "localhost"):
            check_listening(session, near, Settings())
    door.made()
    with door.database.reading() as session:
        check_listening(session, host, open_ones)
        with pytest.raises(ListeningError, match="HOODWRIGHT_TLS_PROXY"):
            check_listening(session, host, Settings(address="https://hoods.example"))
        plain = Settings(tls_proxy="127.0.0.1", address="http://hoods.example")
        with pytest.raises(ListeningError, match="https://"):
            check_listening(session, host, plain)


def _judged(browser: TestClient, **typed: str) -> Response:
    return browser.post("/sign-in/strength", data=typed, follow_redirects=False)


def test_how_strong_the_first_password_is_is_told_to_who_holds_a_link(door: Door) -> None:
    code = door.code()
    told = _judged(door.browser(), code=code, name="Odile", password="password1234")  # noqa: S106 - weak
    assert told.status_code == 200
    assert told.json()["score"] < 3
    assert "easily guessed" in told.json()["said"]
    good = _judged(door.browser(), code=code, password=PASSWORD)
    assert good.json() == {"score": 4, "said": "Hard to guess."}
    near = "Zephyrine Quillbottom"  # hard to guess, but for whoever is called so
    alone = _judged(door.browser(), code=code, name="", password=near).json()["score"]
    assert _judged(door.browser(), code=code, name=near, password=near).json()["score"] < alone
    assert door.rows() == 0
    assert "Choose your password" in door.browser().get(f"/sign-in?code={code}").text


def test_no_stranger_lets_a_password_be_judged(
    door: Door, monkeypatch: pytest.MonkeyPatch
) -> None:
    worked: list[str] = []

    def counted(password: str, *about: str) -> Strength:
        worked.append(password)
        return strength(password, *about)

    monkeypatch.setattr("service.web.pages.coming.strength", counted)
    code = door.code()
    for none in ("", "x" * 22, "' OR 1=1 --"):
        assert _judged(door.browser(), code=none, password=PASSWORD).status_code == 404
    elsewhere = {"Sec-Fetch-Site": "cross-site"}
    typed = {"code": code, "password": PASSWORD}
    foreign = door.browser().post("/sign-in/strength", data=typed, headers=elsewhere)
    assert foreign.status_code == 403
    door.clock.now += timedelta(hours=1)
    assert _judged(door.browser(), code=code, password=PASSWORD).status_code == 404
    assert worked == []


def test_a_link_asks_no_more_than_anybody_types(door: Door) -> None:
    code = door.code()
    browser = door.browser()
    for _ in range(300):
        assert _judged(browser, code=code, password="short").status_code == 200  # noqa: S106 - weak
    slow = _judged(browser, code=code, password="short")  # noqa: S106 - weak
    assert slow.status_code == 429
    door.clock.now += timedelta(minutes=1)
    assert _judged(browser, code=code, password="short").status_code == 200  # noqa: S106 - weak
    other = door.code()
    assert _judged(browser, code=other, password="short").status_code == 200  # noqa: S106 - weak


class Slow(Hasher):
    """Takes so long to try a password that something is done meanwhile."""

    def __init__(self, meanwhile: Callable[[], None]) -> None:
        super().__init__(rounds=1, memory_kib=8, lanes=1)
        self._meanwhile = meanwhile

    def fits(self, kept: str, password: str) -> bool:
        right = super().fits(kept, password)
        self._meanwhile()
        return right


@pytest.mark.parametrize("what", ["new password", "shut"])
def test_who_gives_the_old_password_while_it_is_changed_is_not_let_in(
    door: Door, what: str
) -> None:
    door.made()

    def meanwhile() -> None:
        with door.database.writing() as session:
            account = session.exec(select(Account)).one()
            if what == "shut":
                accounts.make_account(session, "Hob", Role.MAKER, door.clock())
                accounts.shut(session, account, door.clock())
            else:
                accounts.set_password(session, account, OTHER, cheap().hasher)

    door.app.state.gate = Entrance(hasher=Slow(meanwhile))  # type: ignore[attr-defined]  # the application
    answer = door.knock("Odile", PASSWORD)
    assert answer.status_code == 401
    assert "do not belong together" in answer.text
    assert door.rows() == 0
