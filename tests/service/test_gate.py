"""The gate: nothing is done for whoever may not, whatever they send."""

import json
import logging
import re
from concurrent.futures import ThreadPoolExecutor
from io import BytesIO
from pathlib import Path

import anyio
import pdfplumber
import pytest
from fastapi import HTTPException
from httpx2 import Response
from sqlmodel import select
from starlette.testclient import TestClient
from starlette.types import Message

from service import web
from service.db import Database
from service.doors.roles import Role, Scope
from service.models import AccessKey
from service.settings import ServingSettings
from service.web.application import create_app
from service.web.gate import body
from service.web.gate.table import TABLE, Who, scope_of
from service.web.gate.ways import lines_of
from service.web.requestlog import NAME
from service.web.visitor import FIELD, HEADER
from tests.entering import KEY, SECRET, cheap, let_in, signed_in, with_key
from tests.service.api import PROBLEM, Api, FixedClock, assert_problem, order_body

CLOSED = [line for line, who in TABLE.items() if who is not Who.ANYONE]
OPEN = [line for line, who in TABLE.items() if who is Who.ANYONE]
FILLED = {"number": "2026-0001", "kind": "care", "secret": "x" * 22}


def filled(line: str) -> tuple[str, str]:
    """The method of a line, and its path with something in every place."""
    method, path = line.split(" ")
    return method, re.sub(r"\{(\w+)\}", lambda found: FILLED.get(found[1], "1"), path)


def asked(client: TestClient, line: str, **more: object) -> Response:
    method, path = filled(line)
    return client.request(method, path, follow_redirects=False, **more)  # type: ignore[arg-type]


@pytest.fixture
def stranger(api: Api) -> TestClient:
    """Somebody without cookie and key, at the same application."""
    return TestClient(api.client.app, raise_server_exceptions=False)


@pytest.fixture
def browser(api: Api) -> TestClient:
    """A browser that is signed in, and sends nothing besides the cookie."""
    client = signed_in(TestClient(api.client.app, raise_server_exceptions=False))
    del client.headers[HEADER], client.headers["Origin"]
    return client


def test_every_route_has_its_line_and_every_line_its_route(sqlite_database: Database) -> None:
    counted = ServingSettings(metrics_token="a token")  # noqa: S106 - of no server
    routes = lines_of(create_app(sqlite_database, serving=counted))

    missing = sorted(set(routes) - set(TABLE))
    assert missing == [], f"say in service/web/gate/table.py who may use {missing}"
    assert sorted(set(TABLE) - set(routes)) == []
    assert len(CLOSED) > 100
    assert len(OPEN) <= 22


@pytest.mark.parametrize("line", CLOSED)
def test_without_a_sign_in_nothing_is_to_be_had(sqlite_api: Api, line: str) -> None:
    stranger = TestClient(sqlite_api.client.app, raise_server_exceptions=False)
    method, path = filled(line)
    for headers in ({}, {"Authorization": "Bearer nothing"}, {"Cookie": "hoodwright=nothing"}):
        answer = asked(stranger, line, headers=headers)
        if method in {"GET", "HEAD"} and not path.startswith(("/api/", "/openapi")):
            assert answer.status_code == 303
            assert answer.headers["Location"].startswith("/sign-in?to=%2F")
            continue
        assert answer.status_code == 401
        assert answer.headers["WWW-Authenticate"] == "Bearer"
        if path.startswith("/api/"):
            assert_problem(answer, 401, "not-signed-in")


def test_a_route_that_the_table_does_not_have_is_for_nobody(sqlite_database: Database) -> None:
    let_in(sqlite_database, FixedClock.now)
    app = create_app(sqlite_database, FixedClock())
    app.add_api_route("/api/v1/forgotten", lambda: "open")
    problem = assert_problem(with_key(TestClient(app)).get("/api/v1/forgotten"), 403, "not-yours")

    assert "GET /api/v1/forgotten" in problem["detail"]


def test_a_key_is_no_way_to_the_pages_and_a_wrong_one_is_not_helped_by_a_cookie(
    api: Api, browser: TestClient
) -> None:
    program = with_key(TestClient(api.client.app))
    assert program.get("/api/v1/orders").status_code == 200
    assert program.get("/orders", follow_redirects=False).status_code == 303
    wrong = {"Authorization": "Bearer wrong"}
    assert browser.get("/api/v1/orders").status_code == 200
    assert browser.get("/api/v1/orders", headers=wrong).status_code == 401


@pytest.mark.parametrize("path", ["/nothing", "/api/v1/nothing", "/orders/", "/static"])
def test_a_stranger_is_not_told_what_there_is(stranger: TestClient, path: str) -> None:
    answer = stranger.get(path, follow_redirects=False)
    assert answer.status_code in {303, 401}


@pytest.mark.parametrize("scope", Scope)
def test_a_key_opens_what_its_scope_says_and_nothing_else(
    api: Api, database: Database, scope: Scope
) -> None:
    api.taken()
    with database.writing() as session:
        row = session.exec(select(AccessKey)).one()
        row.scopes = [scope.value]
        session.add(row)
    opened, tried = set(), 0
    for line in (one for one in CLOSED if " /api/" in one):
        answer = asked(api.client, line)
        tried += 1
        if answer.status_code != 403:
            opened.add(scope_of(line))
        else:
            assert scope_of(line).value in assert_problem(answer, 403, "not-yours")["detail"]
    assert opened == {scope}
    assert tried > 50


def test_a_form_needs_the_token_of_its_sign_in(browser: TestClient, api: Api) -> None:
    page = browser.get("/shop").text
    token = re.search(rf'name="{FIELD}" value="([^"]{{40,}})"', page)
    version = re.search(r'name="version" value="(\d+)"', page)
    assert token
    assert version
    sent = {"version": version[1], "name": "Wrack Hoods"}
    for wrong in ({}, {FIELD: ""}, {FIELD: "x" * 43}, {FIELD: token[1][:-1]}, {FIELD: "é"}):
        answer = browser.post("/shop", data=sent | wrong)
        assert answer.status_code == 403, wrong
        assert "nothing was done" in answer.text
    foreign = {"Origin": "https://elsewhere.example"}
    right = sent | {FIELD: token[1]}
    assert browser.post("/shop", data=right, headers=foreign).status_code == 403
    assert api.client.get("/api/v1/shop").json()["name"] == ""

    assert browser.post("/shop", data=right).status_code == 200
    assert api.client.get("/api/v1/shop").json()["name"] == "Wrack Hoods"


def test_a_form_with_a_file_carries_the_token_too(browser: TestClient) -> None:
    page = browser.get("/shop").text
    token = re.search(rf'name="{FIELD}" value="([^"]{{40,}})"', page)
    assert token
    file = {"file": ("a.csv", b"a,b", "text/csv")}
    assert browser.post("/bring-in", data={FIELD: "no"}, files=file).status_code == 403
    assert browser.post("/bring-in", data={FIELD: token[1]}, files=file).status_code != 403


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 403),
        ({"Origin": "http://testserver"}, 201),
        ({"Sec-Fetch-Site": "same-origin"}, 201),
        ({"Origin": "null"}, 403),
        ({"Origin": "https://testserver.example"}, 403),
        ({"Sec-Fetch-Site": "same-site"}, 403),
        ({"Sec-Fetch-Site": "cross-site", "Origin": "http://testserver"}, 403),
    ],
)
def test_a_cookie_changes_by_the_api_only_from_our_own_pages(
    browser: TestClient, headers: dict[str, str], status: int
) -> None:
    answer = browser.post("/api/v1/orders", json=order_body(), headers=headers)
    assert answer.status_code == status, answer.text


def test_every_form_of_the_pages_carries_the_token() -> None:
    public = {
        "confirm.html",
        "enquiry.html",
        "owner_measure.html",
        "sign_in.html",
        "sign_in_step.html",
    }
    public |= {"owner_trouble.html"}
    folder = Path(web.__file__).parent / "templates"
    seen = 0
    for template in folder.rglob("*.html"):
        for form in re.findall(r'<form\b(?:[^>"]|"[^"]*")*>.{0,24}', template.read_text()):
            if 'method="post"' in form:
                seen += 1
                has = "token() }}" in form
                assert has is (template.name not in public), f"{template.name}: {form}"
    assert seen > 30


@pytest.mark.parametrize(
    "path",
    ["/", "/orders/2026-0001", "/api/v1/orders", "/sign-in", "/nothing", "/static/icon.svg"],
)
def test_every_answer_has_its_headers(browser: TestClient, path: str) -> None:
    headers = browser.get(path).headers

    assert headers["X-Content-Type-Options"] == "nosniff"
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]
    assert "unsafe" not in headers["Content-Security-Policy"]
    assert headers["Referrer-Policy"] in {"same-origin", "no-referrer"}
    assert headers["X-Robots-Tag"].startswith("noindex")
    assert re.fullmatch(r"[0-9a-f]{32}", headers["X-Request-Id"])
    assert "server" not in headers
    if not path.startswith("/static"):
        assert headers["Cache-Control"] == "no-store"


def test_a_body_that_is_too_large_is_refused_before_it_is_read(
    api: Api, browser: TestClient
) -> None:
    much = b"x" * (body.LARGEST + 1)
    assert_problem(api.client.post("/api/v1/orders", content=much), 413, "http")
    chunks = iter([much[:600_000]] * 3)
    assert_problem(api.client.post("/api/v1/orders", content=chunks), 413, "http")
    answer = browser.post("/orders/new", content=much)
    assert answer.status_code == 413
    assert "too much at once" in answer.text
    assert api.client.get("/api/v1/orders").json()["orders"] == []


def test_a_body_that_does_not_come_is_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(body, "PATIENCE", 0.05)

    async def never() -> Message:
        await anyio.sleep_forever()
        return {}

    async def read() -> bytes:
        return await body.read_body({"headers": []}, never, "")

    with pytest.raises(HTTPException, match="did not come in time") as refused:
        ThreadPoolExecutor(1).submit(anyio.run, read).result()
    assert refused.value.status_code == 408


def test_the_log_has_a_line_for_each_request_and_nothing_of_anybody(
    api: Api, stranger: TestClient, caplog: pytest.LogCaptureFixture
) -> None:
    logger = logging.getLogger(NAME)
    logger.addHandler(caplog.handler)
    try:
        order = api.taken()
        stranger.get(f"/orders/{order['number']}?q=Ottoline", follow_redirects=False)
        stranger.get("/measure/a-secret-that-is-22-long")
        stranger.post("/sign-in", data={"name": "Ottoline", "password": "wrack wrack"})
    finally:
        logger.removeHandler(caplog.handler)

    lines = [json.loads(record.message) for record in caplog.records]
    told = [(line["method"], line["route"], line["status"]) for line in lines]
    assert told == [
        ("POST", "/api/v1/orders", 201),
        ("GET", "/orders/{number}", 303),
        ("GET", "/measure/{secret}", 404),
        ("POST", "/sign-in", 401),
    ]
    assert all({"id", "ms", "timestamp"} <= set(line) for line in lines)
    for private in ("Ottoline", "wrack", "2026-0001", "22-long", KEY, SECRET, "testclient"):
        assert private not in caplog.text


def test_a_fault_is_written_down_without_what_it_says(
    sqlite_database: Database,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:
    let_in(sqlite_database, FixedClock.now)
    monkeypatch.setitem(TABLE, "GET /api/v1/fail", Who.MAKER)
    app = create_app(sqlite_database, FixedClock())

    def fail() -> None:
        message = "Ottoline Wrack, 3 Weir Cottages"
        raise RuntimeError(message)

    app.add_api_route("/api/v1/fail", fail)
    logger = logging.getLogger(NAME)
    logger.addHandler(caplog.handler)
    answer = with_key(TestClient(app, raise_server_exceptions=False)).get("/api/v1/fail")
    logger.removeHandler(caplog.handler)

    assert answer.headers["Content-Type"] == PROBLEM
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    fault, request = (json.loads(record.message) for record in caplog.records)
    assert (fault["kind"], request["status"]) == ("RuntimeError", 500)
    assert fault["id"] == request["id"] == answer.headers["X-Request-Id"]
    assert any("test_gate.py" in one for one in fault["where"])
    assert "Ottoline" not in caplog.text + answer.text


def test_the_history_names_who_did_it(api: Api, browser: TestClient, database: Database) -> None:
    order = api.taken()
    let_in(database, FixedClock.now, "Hob Alder", Role.MAKER, mark="-2")
    other = with_key(TestClient(api.client.app), "-2")
    Api(other).move(order, "quoted")

    history = api.show(order["number"])["history"]
    assert [event["by"] for event in history] == ["Tess Tamber", "Hob Alder"]
    assert "Hob Alder" in browser.get(f"/orders/{order['number']}").text


def test_the_api_is_explained_without_another_host(browser: TestClient) -> None:
    page = browser.get("/docs").text
    assert "POST /api/v1/orders" in page.replace("</code>", "")
    assert "//" not in re.sub(r"http://www.w3.org\S*", "", page.replace("<!doctype", ""))
    assert browser.get("/redoc").status_code == 404


def test_search_engines_are_sent_away(stranger: TestClient) -> None:
    assert stranger.get("/robots.txt").text == "User-agent: *\nDisallow: /\n"


def test_cookies_go_over_tls_alone_where_there_is_tls(
    sqlite_database: Database,
) -> None:
    let_in(sqlite_database, FixedClock.now)
    entrance = cheap()
    safe = type(entrance)(secure=True, hasher=entrance.hasher)
    client = TestClient(create_app(sqlite_database, FixedClock(), entrance=safe))
    client.cookies.set("hoodwright", SECRET)
    assert client.get("/", follow_redirects=False).status_code == 303
    client.cookies.set("__Host-hoodwright", SECRET)
    assert client.get("/", follow_redirects=False).status_code == 200


def test_a_helper_sees_the_bench_and_the_ticket_and_nothing_of_buyers_or_money(
    api: Api, database: Database
) -> None:
    order = api.moved(api.taken(), "accepted", "making")
    let_in(database, FixedClock.now, "Hob Alder", Role.HELPER, mark="-2")
    app = api.client.app
    helper = signed_in(with_key(TestClient(app, raise_server_exceptions=False), "-2"), "-2")
    mine = {line for line in CLOSED if TABLE[line] is Who.HELPER}
    for line in (one for one in CLOSED if one != "POST /sign-out"):
        answer = asked(helper, line)
        assert (answer.status_code == 403) is (line not in mine), line
        if line not in mine:
            assert line.startswith("HEAD ") or "Ask the maker" in answer.text
    assert len(mine) < 30

    number = order["number"]
    ticket = f"/api/v1/orders/{number}/work-ticket.pdf"
    bench = f"/orders/{number}/bench"
    pages = ("/", bench, f"/orders/{number}/in-hand", "/account")
    for path in (*pages, f"/api/v1{bench}", f"/api/v1{bench}/state"):
        text = helper.get(path).text
        assert "Ottoline" not in text, path
        assert "wrack.example" not in text, path
        assert order["plan"]["price"]["total"] not in text, path
    assert "Bramble" in helper.get("/").text
    told = [pdfplumber.open(BytesIO(one.get(ticket).content)) for one in (helper, api.client)]
    words = ["".join(page.extract_text() for page in pdf.pages) for pdf in told]
    assert ["Ottoline" in text for text in words] == [False, True]
    assert "Bramble" in words[0]
