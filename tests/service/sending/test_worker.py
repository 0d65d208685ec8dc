"""The thread that sends: woken by a commit, ended gently, and killed without a loss."""

import os
import signal
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Generator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from threading import Event
from time import monotonic, sleep

import pytest

from service.db import Database
from service.given import DeliveryState
from service.sending import worker as module
from service.sending.deliver import PAUSES
from service.sending.outbox import Sending, send
from service.sending.worker import Worker
from service.settings import MailSettings
from tests.service.sending.conftest import Shop
from tests.service.sending.postoffice import PostOffice

ROOT = Path(__file__).parents[3]


def until(true: Callable[[], bool], seconds: float = 60) -> float:
    """Wait until something is so; return how long that took."""
    begun = monotonic()
    while not true():
        assert monotonic() - begun < seconds, "it did not come about in time"
        sleep(0.02)
    return monotonic() - begun


@contextmanager
def working(shop: Shop, mail: MailSettings) -> Generator[Worker]:
    worker = Worker(shop.database, mail, shop.clock)
    worker.start()
    try:
        yield worker
    finally:
        assert worker.stop()


def sent(shop: Shop, delivery: int) -> bool:
    return shop.row(delivery).state == DeliveryState.SENT


def test_a_commit_wakes_the_worker(shop: Shop, office: PostOffice, mail: MailSettings) -> None:
    with working(shop, mail):
        sleep(0.3)  # it has looked, and sleeps for a minute
        delivery = shop.send(mail)
        assert until(lambda: sent(shop, delivery)) < 5

    assert len(office.envelopes) == 1


def test_what_is_rolled_back_is_not_sent(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    def break_off() -> None:
        with shop.database.writing() as session:
            send(session, shop.number, Sending("care", "en"), mail, shop.clock())
            raise KeyError

    with working(shop, mail):
        with pytest.raises(KeyError):
            break_off()
        sleep(0.5)

    assert office.envelopes == []
    assert shop.history() == []


def test_what_was_waiting_is_sent_at_the_start(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    deliveries = [shop.send(mail) for _ in range(3)]
    with working(shop, mail):
        until(lambda: all(sent(shop, one) for one in deliveries))

    order = [message["Message-ID"] for message in office.mails]
    assert order == [shop.row(one).message_id for one in deliveries]


def test_a_pause_ends_by_itself(shop: Shop, office: PostOffice, mail: MailSettings) -> None:
    office.answers = ["451 Later"]
    delivery = shop.send(mail)
    with working(shop, mail):
        until(lambda: shop.row(delivery).attempts == 1 and bool(shop.row(delivery).reason))
        shop.later(PAUSES[0])
        other = shop.send(mail)  # wakes it: its clock is not ours
        until(lambda: sent(shop, delivery) and sent(shop, other))


def test_the_end_waits_for_the_mail_that_is_leaving(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    leaving = Event()

    def goodbye() -> None:
        leaving.set()
        sleep(0.5)

    office.on_quit = goodbye
    first, second = shop.send(mail), shop.send(mail)
    with working(shop, mail) as worker:
        assert leaving.wait(10)
        assert worker.stop()

    assert sent(shop, first)
    assert shop.row(second).state == DeliveryState.WAITING  # left for the next start


def test_a_fault_does_not_end_the_worker(
    shop: Shop, office: PostOffice, mail: MailSettings, monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:  # fmt: skip
    monkeypatch.setattr(module, "LONGEST_SLEEP", 0.1)
    with shop.database.writing() as session:
        session.connection().exec_driver_sql("ALTER TABLE delivery RENAME TO mislaid")
    with working(shop, mail):
        until(lambda: "cannot be worked on" in caplog.text)
        with shop.database.writing() as session:
            session.connection().exec_driver_sql("ALTER TABLE mislaid RENAME TO delivery")
        delivery = shop.send(mail)
        until(lambda: sent(shop, delivery))

    assert len(office.envelopes) == 1


@contextmanager
def other_process(
    database: Database, office: PostOffice, moment: str
) -> Generator[subprocess.Popen[bytes]]:
    url = database.engine.url.render_as_string(hide_password=False)
    child = Path(__file__).with_name("child.py")
    with subprocess.Popen(  # noqa: S603 - our own script
        [sys.executable, str(child), url, str(office.port), moment],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    ) as process:
        try:
            yield process
        finally:
            process.kill()


@pytest.mark.parametrize("when", ["before", "after"])
def test_a_worker_killed_before_or_after_sending_loses_nothing(
    shop: Shop, office: PostOffice, mail: MailSettings, when: str
) -> None:
    deliveries = [shop.send(mail) for _ in range(3)]
    ids = [shop.row(one).message_id for one in deliveries]
    with other_process(shop.database, office, shop.clock().isoformat()) as process:

        def kill() -> None:
            os.kill(process.pid, signal.SIGKILL)
            process.wait(10)

        # It is killed as it names the recipient, or as it says goodbye: the mail is taken then,
        # and not yet marked.
        setattr(office, "on_recipient" if when == "before" else "on_quit", kill)
        until(lambda: process.poll() is not None)
    assert process.returncode == -signal.SIGKILL
    assert shop.row(deliveries[0]).state == DeliveryState.WAITING
    office.on_quit = office.on_recipient = None

    later = shop.clock() + timedelta(minutes=10)
    with other_process(shop.database, office, later.isoformat()):
        until(lambda: all(sent(shop, one) for one in deliveries))

    came = Counter(message["Message-ID"] for message in office.mails)
    assert came == Counter(ids) + Counter({ids[0]: 1} if when == "after" else {})
