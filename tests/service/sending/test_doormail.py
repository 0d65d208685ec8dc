"""The shop's own address gets a mail about a change of how somebody comes in."""

from datetime import timedelta
from time import sleep

import pytest
from sqlmodel import col, select

from service.db import Database
from service.doors.accounts import account_named
from service.doors.changes import note
from service.doorwords import Change
from service.models import DoorEvent
from service.sending.deliver import MOST_ATTEMPTS, PAUSES
from service.sending.doormail import NEWS, tell_all
from service.sending.queue import work
from service.sending.worker import Worker
from service.settings import MailSettings
from service.shop import save_shop, shop_of
from tests.entering import MAKER
from tests.service.api import FixedClock
from tests.service.sending.conftest import SHOP, Shop, to_server
from tests.service.sending.postoffice import PostOffice, parsed


@pytest.fixture
def changed(shop: Shop) -> Shop:
    """A shop in which a key was made."""
    _change(shop.database, shop.clock)
    return shop


def _change(
    database: Database, clock: FixedClock, about: str = "till", *, known: bool = False
) -> None:
    with database.writing() as session:
        whose = account_named(session, MAKER)
        assert whose
        note(session, whose.id, Change.KEY, clock(), about=about, known=known)


def _rows(shop: Shop) -> list[DoorEvent]:
    with shop.database.reading() as session:
        return list(session.exec(select(DoorEvent).order_by(col(DoorEvent.id))))


def _tell(shop: Shop, mail: MailSettings) -> None:
    tell_all(shop.database, mail, shop.clock)


def test_the_mail_says_what_when_and_whose_and_leads_nowhere(
    changed: Shop, office: PostOffice, mail: MailSettings
) -> None:
    _tell(changed, mail)
    _tell(changed, mail)
    (envelope,) = office.envelopes
    assert envelope.rcpt_tos == [SHOP.email]
    assert isinstance(envelope.content, bytes)
    message = parsed(envelope.content)
    assert message["Subject"] == f"Something was changed of how {MAKER} comes in"
    for kind in ("plain", "html"):
        part = message.get_body((kind,))
        assert part
        text = " ".join(part.get_content().split())
        assert "A key for programs was made: “till”." in text
        assert "14 March 2026, 09:26 UTC" in text
        assert "choose a new password" in text
        assert "http" not in text
    (row,) = _rows(changed)
    assert (row.state, row.attempts, row.known_at) == ("sent", 1, None)


def test_what_is_typed_is_text_in_the_mail(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    _change(shop.database, shop.clock, "<b>{name}</b>")
    _tell(shop, mail)
    (envelope,) = office.envelopes
    assert isinstance(envelope.content, bytes)
    html = parsed(envelope.content).get_body(("html",))
    assert html
    assert "&lt;b&gt;{name}&lt;/b&gt;" in html.get_content()


def test_no_mail_goes_where_none_can_or_none_is_needed(
    changed: Shop, office: PostOffice, mail: MailSettings, to_files: MailSettings
) -> None:
    _tell(changed, to_files)  # no mail server: nothing is written for the maker to send
    assert not to_files.folder.exists()
    _change(changed.database, changed.clock, known=True)
    with changed.database.writing() as session:
        own, version = shop_of(session)
        save_shop(session, own.model_copy(update={"email": ""}), version)
    _change(changed.database, changed.clock)
    _tell(changed, mail)
    with changed.database.writing() as session:
        own, version = shop_of(session)
        save_shop(session, own.model_copy(update={"email": SHOP.email}), version)
    _change(changed.database, changed.clock)
    changed.later(NEWS + timedelta(minutes=1))  # nobody worked for days: it is no news
    _tell(changed, mail)
    assert office.envelopes == []
    assert [row.state for row in _rows(changed)] == ["", "", "", ""]


def test_what_fails_is_tried_again_under_the_same_id_and_given_up(
    changed: Shop, office: PostOffice, mail: MailSettings
) -> None:
    office.answers = ["451 later"]
    _tell(changed, mail)
    (row,) = _rows(changed)
    assert (row.state, row.attempts) == ("waiting", 1)
    assert "451" in row.reason
    _tell(changed, mail)  # not before its pause is over
    assert _rows(changed)[0].attempts == 1
    changed.later(PAUSES[0])
    _tell(changed, mail)
    (row,) = _rows(changed)
    assert (row.state, row.reason, row.claimed_until) == ("sent", "", None)
    ids = {parsed(one.content)["Message-ID"] for one in office.envelopes}  # type: ignore[arg-type]
    assert len(ids) == 1

    _change(changed.database, changed.clock)
    office.answers = ["451 later"] * MOST_ATTEMPTS
    for pause in (*PAUSES, timedelta(0)):
        _tell(changed, mail)
        changed.later(pause)
    assert (_rows(changed)[1].state, _rows(changed)[1].attempts) == ("given up", MOST_ATTEMPTS)


def test_a_server_that_is_not_there_is_waited_for(changed: Shop) -> None:
    _tell(changed, to_server(1, sender=SHOP.email))
    (row,) = _rows(changed)
    assert (row.state, row.attempts, row.claimed_until) == ("waiting", 1, None)
    assert "cannot be reached" in row.reason


def test_the_workers_send_it(changed: Shop, office: PostOffice, mail: MailSettings) -> None:
    if changed.database.engine.dialect.name == "postgresql":
        work(changed.database, mail, changed.clock, wait=False)
    else:
        worker = Worker(changed.database, mail, changed.clock)
        worker.start()
        try:
            for _ in range(100):
                if office.envelopes:
                    break
                sleep(0.05)
        finally:
            assert worker.stop()
    assert len(office.envelopes) == 1
    assert _rows(changed)[0].state == "sent"
