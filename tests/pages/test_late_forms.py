"""A form that comes after its sign-in has ended: nothing typed is lost, or shown to others."""

import json
import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from sqlmodel import delete, select
from starlette.testclient import TestClient

from service.db import Database
from service.doors.accounts import account_named
from service.doors.roles import Role
from service.doors.secondstep import begin, code_at, switch_on
from service.models import Account, SignIn
from service.web.application import create_app
from service.web.pages.carrying import MOST
from service.web.visitor import FIELD, WHOSE
from tests.entering import MAKER, cheap, let_in, signed_in
from tests.pages.conftest import NOW
from tests.pages.reading import Page as Read
from tests.pages.site import BEAGLE, Site
from tests.pages.visitor import PHONE, WIDE, visit

PASSWORD = "seven kettles under moss"  # noqa: S105 - of a shop of the tests
OTHER = "Wilf Amble"
TYPED = {n: t for n, t in BEAGLE.items() if n != "yarn_choice"}
HEADING = "What you had typed"


@pytest.fixture
def doors(demo: Database) -> Database:
    """The demo shop, with a maker and a second one who can sign in by a password."""
    let_in(demo, NOW, OTHER, Role.MAKER, "-of-another")
    with demo.writing() as session:
        for name in (MAKER, OTHER):
            account = account_named(session, name)
            assert account
            account.password = cheap().hasher.hash(PASSWORD)
            session.add(account)
    return demo


def _expire(database: Database) -> None:
    with database.writing() as session:
        session.exec(delete(SignIn))


def _fill(page: Page) -> None:
    for name, text in TYPED.items():
        field = page.locator(f'[name="{name}"]').first
        if field.is_visible():
            field.fill(text)
    page.get_by_label("From the shelf").select_option(index=1)


def _sign_in(page: Page, name: str = MAKER) -> None:
    page.get_by_label("Your name").fill(name)
    page.get_by_label("Password", exact=True).fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()


def _sign_out(page: Page) -> None:
    page.get_by_role("button", name="Sign out").click()
    # A tab that is closed while it still goes on may never answer that it is.
    expect(page.get_by_text("You are signed out")).to_be_visible()


def _in_another_tab(page: Page, doing: Callable[[Page], None]) -> None:
    tab = page.context.new_page()
    tab.goto("/".join(page.url.split("/")[:3]))
    doing(tab)
    tab.close()


@pytest.mark.parametrize("script", [True, False])
@pytest.mark.parametrize(("width", "how"), [(WIDE, "expired"), (PHONE, "signed out"),
                                            (PHONE, "signed in anew")])  # fmt: skip
def test_an_order_typed_in_an_ended_sign_in_is_taken_after_signing_in(
    browser: Browser, address: str, doors: Database, width: int, how: str, *, script: bool
) -> None:
    with visit(browser, address, width, script=script) as visitor:
        page = visitor.page
        visitor.go("/orders/new")
        _fill(page)
        if how == "expired":
            _expire(doors)
        else:
            _in_another_tab(page, _sign_out)
        if how == "signed in anew":

            def again(tab: Page) -> None:
                _sign_in(tab)
                expect(tab.get_by_text(f"Signed in as {MAKER}")).to_be_visible()

            _in_another_tab(page, again)
        page.get_by_role("button", name="Take the order").click()
        if how != "signed in anew":
            expect(page.get_by_text("What you typed is on this page")).to_be_visible()
            visitor.check()
            _sign_in(page)
        expect(page.get_by_role("heading", level=1)).to_have_text(HEADING)
        expect(page.get_by_text("Tilda Fenwright")).to_be_visible()
        visitor.check()
        visitor.complaints.clear()  # the browser complains of the 401 itself
        page.get_by_role("button", name="Send it now").click()
        expect(page).to_have_url(re.compile(r"/orders/2027-0007$"))
        expect(page.get_by_role("heading", level=1)).to_have_text("Pipkin")


class Late:
    """A browser whose sign-in has ended, with a form of it."""

    def __init__(self, database: Database) -> None:
        app = create_app(database, lambda: NOW, entrance=cheap())
        self.client = signed_in(TestClient(app, raise_server_exceptions=False))
        self.form = Site(self.client).get("/orders/new").form()
        self.client.headers.pop("x-form-token")
        _expire(database)

    def post(self, **more: Any) -> Read:  # noqa: ANN401 - of the client
        sent = self.form.with_(dog__name="Quillon", notes="For <b>Wednesday</b>")
        answer = self.client.post("/orders/new", **({"data": sent} | more))
        assert answer.status_code == 401
        return Read(answer.text)

    def sign_in(self, page: Read, name: str = MAKER, password: str = PASSWORD) -> Read:
        sent = page.form("/sign-in").with_(name=name, password=password)
        return Read(self.client.post("/sign-in", data=sent).text)


@pytest.fixture
def late(doors: Database) -> Late:
    return Late(doors)


def _carried(page: Read) -> str:
    return page.form("/sign-in").values["carried"][0]


def test_a_wrong_password_loses_nothing_either(late: Late) -> None:
    wrong = late.sign_in(late.post(), password="not it at all")  # noqa: S106 - no password
    assert "do not belong together" in wrong.text
    back = late.sign_in(wrong)
    assert back.heading == HEADING
    form = back.form("/orders/new")
    assert form.values["notes"] == ["For <b>Wednesday</b>"]
    assert form.values["measurements.neck_girth"] == [""]
    assert set(late.form.values) <= set(form.values)
    assert form.values[FIELD] != late.form.values[FIELD]
    assert len(form.values[FIELD]) == len(form.values[WHOSE]) == 1


def test_a_second_step_loses_nothing_either(late: Late, doors: Database) -> None:
    with doors.writing() as session:
        whose = session.exec(select(Account).where(Account.name == MAKER)).one()
        key = begin(session, whose, NOW)
        switch_on(session, whose.id or 0, code_at(key, NOW), NOW)
    asked = late.sign_in(late.post())
    assert asked.heading == "The second step"
    assert "For <b>Wednesday</b>" in asked.text
    for code, heading in (
        ("12345", "The second step"),
        (code_at(key, NOW + timedelta(seconds=30)), HEADING),
    ):
        sent = asked.form("/sign-in/step").with_(code=code)
        asked = Read(late.client.post("/sign-in/step", data=sent).text)
        assert asked.heading == heading
    assert asked.form("/orders/new").values["notes"] == ["For <b>Wednesday</b>"]


def test_another_account_is_not_given_it(late: Late, doors: Database) -> None:
    page = late.sign_in(late.post(), OTHER)
    assert page.heading != HEADING
    assert "Quillon" not in page.text
    with doors.reading() as session:
        assert len(session.exec(select(SignIn)).all()) == 1


def test_nobody_who_is_signed_in_is_given_what_another_typed(late: Late) -> None:
    signed_in_as = late.client.post("/sign-in", data={"name": OTHER, "password": PASSWORD})
    assert f"Signed in as {OTHER}" in Read(signed_in_as.text).text
    answer = late.client.post("/orders/new", data=late.form.with_(dog__name="Quillon"))
    assert answer.status_code == 403
    assert "Quillon" not in answer.text


def test_what_is_carried_cannot_be_made_up(late: Late) -> None:
    told = json.loads(_carried(late.post()))
    for changed in (
        {"whose": "0" * 43},
        {"token": "0" * 43},
        {"to": "//elsewhere.example/"},
        {"to": "https://elsewhere.example/"},
        {"fields": [["x"]]},
        {"fields": 7},
    ):
        sent = {"name": MAKER, "password": PASSWORD, "carried": json.dumps(told | changed)}
        answer = late.client.post("/sign-in", data=sent)
        assert answer.status_code == 200
        assert HEADING not in answer.text, changed
        assert "elsewhere.example" not in answer.text
    for text in ("", "{", "[]", "null", "x" * (MOST + 1)):
        sent = {"name": MAKER, "password": PASSWORD, "carried": text}
        assert HEADING not in late.client.post("/sign-in", data=sent).text


@pytest.mark.parametrize(
    "more",
    [
        {"headers": {"Origin": "https://elsewhere.example"}},
        {"headers": {"Sec-Fetch-Site": "cross-site"}},
        {"headers": {"Sec-Fetch-Mode": "cors", "Sec-Fetch-Site": "same-origin"}},
        {"files": {"file": ("a.csv", b"a,b", "text/csv")}},
        {"data": {"notes": "no form of ours"}},
        {"data": {FIELD: "x", WHOSE: "y", "notes": "x" * MOST}},
        {"data": {FIELD: "x", WHOSE: "y", "now": "a", "password": "what nobody may see"}},
        {"data": {FIELD: "x", WHOSE: "y", "password_now": "what nobody may see"}},
    ],
)
def test_what_is_no_form_of_ours_or_holds_a_secret_is_not_carried(
    late: Late, more: dict[str, Any]
) -> None:
    page = late.post(**more)
    assert page.heading == "You are signed out"
    assert "carried" not in page.html
    assert "what nobody may see" not in page.html


def test_nothing_of_it_is_kept_by_the_shop(late: Late, doors: Database) -> None:
    late.sign_in(late.post(), password="not it at all")  # noqa: S106 - no password
    with doors.engine.connect() as connection:
        tables = connection.exec_driver_sql(
            "select name from sqlite_master where type = 'table'"
        ).scalars()
        for table in list(tables):
            rows = connection.exec_driver_sql(f'select * from "{table}"').all()  # noqa: S608
            assert "Wednesday" not in str(rows), table
