"""What pages look like behind a step or after a fault: accessible there too, in all variants."""

from collections.abc import Iterator
from pathlib import Path
from threading import Event

import pytest
from playwright.sync_api import Browser, expect
from sqlmodel import delete

from service import errands, paperwork
from service.bringing import files
from service.bringing.sheet import sample
from service.db import Database
from service.doors.accounts import account_named
from service.doors.codes import way_in
from service.doors.keys import make_key
from service.doors.roles import Role, Scope
from service.models import SignIn
from service.sending.confirming import new_secret
from service.sending.outbox import hand_over
from tests.entering import MAKER, cheap, let_in
from tests.pages.axe import RULES, complaints
from tests.pages.conftest import NOW, served
from tests.pages.visitor import PHONE, WIDE, Visitor, visit
from tests.service.conftest import empty

PASSWORD = "seven kettles under moss"  # noqa: S105 - of a shop of the tests
BOTH = pytest.mark.parametrize("width", [WIDE, PHONE])
SCHEMES = pytest.mark.parametrize("scheme", ["light", "dark"])


@pytest.fixture
def doors(demo: Database) -> Database:
    """The demo shop with helpers, several keys, and a maker who has a password."""
    with demo.writing() as session:
        account = account_named(session, MAKER)
        assert account
        account.password = cheap().hasher.hash(PASSWORD)
        session.add(account)
        for name in ("The order form of my web site", "The printer in the workroom"):
            make_key(session, account, name, list(Scope), NOW)
    for place, name in enumerate(("Hob Alder", "Nan Thistlewaite-Borrowdale")):
        let_in(demo, NOW, name, Role.HELPER, f"-{place}")
    return demo


class Look:
    """A visitor who holds each page that is come to against axe and the promises of all pages."""

    def __init__(self, visitor: Visitor) -> None:
        self.visitor, self.page = visitor, visitor.page
        self.found: list[str] = []
        self.seen: list[str] = []

    def here(self, heading: str) -> None:
        """Look at the page, which must be the one that is meant."""
        expect(self.page.get_by_role("heading", level=1)).to_have_text(heading)
        self.visitor.check()
        self.found += complaints(self.page)
        self.seen.append(heading)

    def at(self, path: str, heading: str) -> None:
        """Open a page and look at it."""
        self.page.goto(self.visitor.address + path)
        self.here(heading)

    def press(self, name: str, heading: str) -> None:
        """Press a button and look at what comes."""
        with self.page.expect_navigation():
            self.page.get_by_role("button", name=name, exact=True).first.click()
        self.here(heading)

    def spoil(self, name: str, value: str) -> None:
        """Change a hidden field of the page's forms, and open what is folded."""
        self.page.evaluate(
            """([name, value]) => {
              for (const one of document.getElementsByName(name)) one.value = value;
              for (const one of document.querySelectorAll("details")) one.open = true;
            }""",
            [name, value],
        )


@pytest.fixture
def look(browser: Browser, address: str, width: int, scheme: str) -> Iterator[Look]:
    """Somebody who has signed in."""
    with visit(browser, address, width, scheme=scheme) as visitor:
        yield Look(visitor)
        visitor.complaints.clear()  # the browser complains itself of each refusal


@BOTH
@SCHEMES
@pytest.mark.usefixtures("doors")
def test_the_pages_of_doors(look: Look) -> None:
    look.at("/docs", "The API")
    look.at("/accounts", "Helpers, and keys for programs")
    look.page.get_by_text("Let somebody in", exact=True).click()
    look.page.get_by_label("Name", exact=True).fill("Wilf Amble")
    look.press("Make the link", "Helpers, and keys for programs")
    expect(look.page.get_by_label("The link")).to_be_visible()
    look.page.get_by_text("Make a key", exact=True).click()
    look.press("Make the key", "Helpers, and keys for programs")
    look.page.get_by_label("What it is for").fill("a try")
    look.page.get_by_label("look at everything").check()
    look.press("Make the key", "Helpers, and keys for programs")
    expect(look.page.get_by_label("The key")).to_be_visible()
    look.press("Sign out", "Sign in")
    look.page.get_by_label("Your name").fill(MAKER)
    look.press("Sign in", "Sign in")
    expect(look.page.get_by_role("alert")).to_be_visible()
    assert look.found == []


@BOTH
@SCHEMES
def test_a_file_looked_at_good_and_bad(look: Look, tmp_path: Path) -> None:
    good = sample().decode("utf-8-sig")
    bad = good.replace("35.5 cm", "35.5 em").replace("14 1/2 in", "fourteen")
    for name, text in (("bad.csv", bad), ("good.csv", good)):
        (tmp_path / name).write_text(text, encoding="utf-8")
        look.at("/bring-in", "Bring in, take out")
        look.page.get_by_label("File").set_input_files(tmp_path / name)
        look.press("Look at it first", "What the file will do")
    look.press("Bring it in", "Brought in")
    assert look.found == []


@BOTH
@SCHEMES
def test_long_work_that_goes_on(
    look: Look, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    may_end = Event()
    for module, name in ((files, "look"), (paperwork, "work_tickets")):
        work = getattr(module, name)
        slow = lambda *given, work=work: may_end.wait(60) and work(*given)  # noqa: E731
        monkeypatch.setattr(module, name, slow)
    monkeypatch.setattr(errands, "WAIT", 0.01)
    (tmp_path / "orders.csv").write_bytes(sample())
    look.at("/bring-in", "Bring in, take out")
    look.page.get_by_label("File").set_input_files(tmp_path / "orders.csv")
    look.press("Look at it first", "Working on it")
    look.at("/tickets?to=2027-03-31", "This week\u2019s tickets")
    look.press("Print the tickets (PDF)", "Drawing the tickets")
    expect(look.page.get_by_role("progressbar")).to_be_visible()
    may_end.set()
    # It loads itself anew.
    expect(look.page.get_by_role("link", name="Open the tickets (PDF)")).to_be_visible()
    look.here("The tickets are drawn")
    assert look.found == []


@BOTH
@SCHEMES
def test_a_buyer_confirms_and_a_letter_is_read(look: Look, doors: Database) -> None:
    with doors.writing() as session:
        delivery = hand_over(session, "2027-0006", "care", "en", NOW)
        secret = new_secret(session, delivery, NOW)
    page = look.page
    page.goto(f"{look.visitor.address}/confirm/{secret}")
    look.found += complaints(page)
    with page.expect_navigation():
        page.get_by_role("button").first.click()
    look.found += complaints(page)
    letter = page.request.get(f"{look.visitor.address}/orders/2027-0006/papers/care/letter")
    assert letter.ok
    # Its own page lets no script run, axe neither; so its text is put on one that does.
    page.goto("about:blank")
    page.set_content(letter.text())
    # A letter has no heading and no landmarks, as letters have none.
    look.found += complaints(page, least=3, rules=[one for one in RULES if "wcag" in one])
    assert look.found == []


@BOTH
@SCHEMES
def test_what_is_refused(look: Look, doors: Database) -> None:
    look.at("/shop", "Shop")
    look.spoil("form_token", "old")
    look.spoil("form_whose", "nobody")
    look.press("Save", "That was not done")
    look.at("/yarns/1", "Brackwater Aran")
    look.spoil("version", "99")
    look.press("Take Brackwater Aran off the shelf", "Changed in the meantime")
    look.at("/orders/2027-0004/bench", "Not possible just now")
    look.at("/shop", "Shop")
    file = Path(doors.engine.url.database or "")
    away = file.rename(file.with_name("away"))
    try:
        look.press("Save", "The database does not answer")
        look.at("/orders", "The database does not answer")
    finally:
        away.rename(file)
    assert look.found == []


@BOTH
@SCHEMES
def test_a_form_that_comes_too_late(look: Look, doors: Database) -> None:
    look.at("/orders/new", "Take an order")
    look.page.get_by_label("Name of the buyer").fill("Tilda Fenwright")
    with doors.writing() as session:
        session.exec(delete(SignIn))
    look.press("Take the order", "Sign in")
    look.page.get_by_label("Your name").fill(MAKER)
    look.page.get_by_label("Password", exact=True).fill(PASSWORD)
    look.press("Sign in", "What you had typed")
    assert look.found == []


@BOTH
@SCHEMES
def test_the_first_start(browser: Browser, database: Database, width: int, scheme: str) -> None:
    empty(database)
    with database.writing() as session:
        code = way_in(session, NOW)
    with (
        served(database, lambda: NOW) as at,
        visit(browser, at, width, scheme=scheme, known=False) as visitor,
    ):
        look = Look(visitor)
        look.at("/sign-in", "Sign in")
        look.at(f"/sign-in?code={code}", "Choose your password")
        look.press("Keep it and come in", "Choose your password")
        assert look.found == []
        visitor.complaints.clear()  # the browser complains of the 422 itself
