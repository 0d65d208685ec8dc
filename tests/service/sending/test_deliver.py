"""A mail leaves whole, once, and for good; what hinders it is kept and tried again."""

import hashlib
import re
import socket
from collections.abc import Iterator
from datetime import timedelta
from email.message import EmailMessage
from threading import Thread
from time import monotonic

import pytest

from service.given import DeliveryState
from service.orders import change_order
from service.sending import deliver as deliver_module
from service.sending.deliver import PAUSES, claim
from service.settings import MailSettings
from tests.service.sending.conftest import SHOP, Shop, to_server
from tests.service.sending.postoffice import HOST, PostOffice, opened, parsed


def part(message: EmailMessage, kind: str) -> EmailMessage:
    """The one part of a kind."""
    (found,) = [one for one in message.walk() if one.get_content_type() == kind]
    assert isinstance(found, EmailMessage)
    return found


def test_a_mail_arrives_as_text_and_html_with_its_paper(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    delivery = shop.send(mail)
    assert office.envelopes == []  # it is sent after, by a worker
    assert shop.deliver(mail, delivery) is DeliveryState.SENT

    (message,) = office.mails
    assert [one.get_content_type() for one in message.walk()] == [
        "multipart/mixed",
        "multipart/alternative",
        "text/plain",
        "text/html",
        "application/pdf",
    ]
    assert str(message["From"]) == f"{SHOP.name} <{SHOP.email}>"
    assert str(message["To"]) == "Ottoline Wrack <ottoline@wrack.example>"
    assert message["Subject"] == "How to use the hood for Bramble safely"
    assert message["Date"].datetime == shop.clock()
    assert [defect for one in message.walk() for defect in one.defects] == []
    (envelope,) = office.envelopes
    assert (envelope.mail_from, envelope.rcpt_tos) == (SHOP.email, ["ottoline@wrack.example"])


def test_the_paper_arrives_byte_for_byte_and_is_kept_with_its_hash(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    delivery = shop.send(mail)
    shop.deliver(mail, delivery)

    pdf = part(office.mails[0], "application/pdf")
    (kept,) = shop.papers(delivery)
    assert pdf.get_content() == kept.content
    assert kept.content.startswith(b"%PDF")
    assert hashlib.sha256(pdf.get_content()).hexdigest() == kept.sha256
    assert pdf.get_filename() == f"care-sheet-{shop.number}.pdf"


def test_text_and_html_say_the_same_and_carry_the_cautions(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    shop.deliver(mail, shop.send(mail))
    (message,) = office.mails
    text, html = (part(message, kind).get_content() for kind in ("text/plain", "text/html"))

    bare = re.sub(r"<[^>]+>", "", html)
    assert text.split() == bare.split()
    assert "never let it sleep in the hood" in " ".join(text.split())
    assert "ask your vet" in text


def test_every_line_is_short_ascii_and_ends_as_mail_lines_do(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    number = shop.take(buyer={"name": "Zofia Wąsik", "email": "zofia@wasik.example"})
    shop.deliver(mail, shop.send(mail, number=number))
    raw = office.raw(0)

    assert raw.isascii()
    assert max(map(len, raw.split(b"\r\n"))) <= 998  # RFC 5322 2.1.1
    assert b"\n" not in raw.replace(b"\r\n", b"")
    assert str(office.mails[0]["To"]) == "Zofia Wąsik <zofia@wasik.example>"


def test_a_mail_that_was_sent_is_not_sent_again(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    delivery = shop.send(mail)
    shop.deliver(mail, delivery)

    assert shop.deliver(mail, delivery) is None
    assert len(office.envelopes) == 1
    assert shop.history() == [
        "Care and supervision sheet: to be sent to ottoline@wrack.example.",
        "Care and supervision sheet: sent to ottoline@wrack.example.",
    ]


def test_a_server_that_says_later_is_tried_again_under_the_same_message_id(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    office.answers = ["451 Greylisted, come back"]
    delivery = shop.send(mail)
    assert shop.deliver(mail, delivery) is DeliveryState.WAITING

    row = shop.row(delivery)
    assert row.reason == "The mail server answered 451: Greylisted, come back"
    assert row.next_at == shop.clock() + PAUSES[0]
    assert shop.deliver(mail, delivery) is None  # the pause is kept
    shop.later(PAUSES[0])
    assert shop.deliver(mail, delivery) is DeliveryState.SENT
    first, second = office.mails
    assert first["Message-ID"] == second["Message-ID"] == row.message_id
    assert shop.row(delivery).reason == ""


def test_the_pauses_grow_and_end_with_the_reason_in_sight(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    office.answers = ["452 Mailbox full"] * 20
    delivery = shop.send(mail)
    waited = []
    while shop.deliver(mail, delivery) is DeliveryState.WAITING:
        waited.append(shop.row(delivery).next_at - shop.clock())
        shop.later(waited[-1])

    assert waited == list(PAUSES)
    assert waited == sorted(waited)
    assert timedelta(hours=24) <= sum(waited, timedelta()) <= timedelta(days=5)
    assert shop.row(delivery).state == DeliveryState.FAILED
    assert shop.history()[-1] == (
        "Care and supervision sheet: could not be sent to ottoline@wrack.example."
        " The mail server answered 452: Mailbox full"
    )


@pytest.mark.parametrize("where", ["recipient", "data"])
def test_a_server_that_says_never_is_not_asked_again(
    shop: Shop, office: PostOffice, mail: MailSettings, where: str
) -> None:
    office.refuse = "550 No such mailbox" if where == "recipient" else ""
    office.answers = ["550 No such mailbox"]
    delivery = shop.send(mail)

    assert shop.deliver(mail, delivery) is DeliveryState.FAILED
    assert shop.row(delivery).reason == "The mail server answered 550: No such mailbox"
    shop.later(timedelta(days=30))
    assert shop.deliver(mail, delivery) is None


def test_a_line_cut_after_the_mail_was_told_is_tried_again(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    office.dropping = True
    delivery = shop.send(mail)
    assert shop.deliver(mail, delivery) is DeliveryState.WAITING
    assert shop.row(delivery).reason == "The mail server hung up."

    office.dropping = False
    shop.later(PAUSES[0])
    assert shop.deliver(mail, delivery) is DeliveryState.SENT
    assert len({message["Message-ID"] for message in office.mails}) == 1


def test_a_goodbye_that_goes_wrong_does_not_send_a_mail_twice(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    def rude() -> None:
        raise RuntimeError("no goodbye")

    office.on_quit = rude  # the server answers 500 to that
    assert shop.deliver(mail, shop.send(mail)) is DeliveryState.SENT


@pytest.fixture
def mute() -> Iterator[int]:
    """The port of a server that takes calls and never says a word."""
    with socket.socket() as listening:
        listening.bind((HOST, 0))
        listening.listen()
        yield listening.getsockname()[1]


@pytest.fixture
def slow() -> Iterator[int]:
    """The port of a server that says a letter now and then, and never ends its line."""
    with socket.socket() as listening:
        listening.bind((HOST, 0))
        listening.listen()

        def drip() -> None:
            line, _ = listening.accept()
            with line:
                line.sendall(b"220 hello\r\n")
                line.settimeout(0.1)
                while True:
                    try:
                        line.sendall(b"2")
                        if line.recv(1000) == b"":
                            return
                    except TimeoutError:
                        continue
                    except OSError:
                        return

        thread = Thread(target=drip)
        thread.start()
        yield listening.getsockname()[1]
        thread.join(10)
        assert not thread.is_alive()


def test_a_server_that_hangs_is_left_in_time(shop: Shop, mute: int) -> None:
    mail = to_server(mute, timeout=0.3)
    delivery = shop.send(mail)
    begun = monotonic()

    assert shop.deliver(mail, delivery) is DeliveryState.WAITING
    assert monotonic() - begun < 3
    assert shop.row(delivery).reason == "The mail server did not answer in time."


def test_a_server_that_drips_is_left_in_time(shop: Shop, slow: int) -> None:
    mail = to_server(slow, timeout=0.4)
    delivery = shop.send(mail)
    begun = monotonic()

    assert shop.deliver(mail, delivery) is DeliveryState.WAITING
    assert monotonic() - begun < 5


def test_no_server_at_all_is_tried_again(shop: Shop) -> None:
    with socket.socket() as probe:
        probe.bind((HOST, 0))
        mail = to_server(probe.getsockname()[1])
    delivery = shop.send(mail)

    assert shop.deliver(mail, delivery) is DeliveryState.WAITING
    assert shop.row(delivery).reason.startswith("The mail server cannot be reached")


def test_without_a_server_a_file_is_written_that_mail_programs_open(
    shop: Shop, to_files: MailSettings
) -> None:
    delivery = shop.send(to_files)
    assert shop.deliver(to_files, delivery) is DeliveryState.WRITTEN

    (path,) = to_files.folder.iterdir()
    assert path.suffix == ".eml"
    message = parsed(path.read_bytes())
    assert message["X-Unsent"] == "1"
    assert message["Message-ID"] == shop.row(delivery).message_id
    assert part(message, "application/pdf").get_content() == shop.papers(delivery)[0].content
    assert str(path) in shop.row(delivery).how
    assert "not sent yet" in shop.history()[-1]


def test_a_folder_that_cannot_be_written_is_tried_again(
    shop: Shop, to_files: MailSettings
) -> None:
    to_files.folder.write_text("I am not a folder.")
    delivery = shop.send(to_files)

    assert shop.deliver(to_files, delivery) is DeliveryState.WAITING
    assert "cannot be written" in shop.row(delivery).reason


def test_a_mail_without_a_public_address_has_no_link(shop: Shop, office: PostOffice) -> None:
    mail = to_server(office.port)
    shop.deliver(mail, shop.send(mail))

    text = part(office.mails[0], "text/plain").get_content()
    assert "http" not in text
    assert "confirm" not in text


def test_many_mails_of_one_order_keep_the_same_bytes_once(shop: Shop, mail: MailSettings) -> None:
    first, second = shop.send(mail), shop.send(mail, "on-its-way")

    assert [one.id for one in shop.papers(first)] == [one.id for one in shop.papers(second)]


def test_a_sheet_made_anew_is_another_version_and_the_old_one_stays(
    shop: Shop, mail: MailSettings, office: PostOffice
) -> None:
    first = shop.send(mail)
    with shop.database.writing() as session:
        change_order(session, shop.number, {"dog": {"risks": ["chewer"]}}, 1, shop.clock())
    second = shop.send(mail)
    for delivery in (first, second):
        shop.deliver(mail, delivery)

    (old,), (new,) = shop.papers(first), shop.papers(second)
    assert old.sha256 != new.sha256
    sent = [part(message, "application/pdf").get_content() for message in office.mails]
    assert sent == [old.content, new.content]


def test_two_workers_at_once_send_one_mail(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    delivery = shop.send(mail)
    ends: list[DeliveryState | None] = []
    threads = [Thread(target=lambda: ends.append(shop.deliver(mail, delivery))) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)

    assert sorted(ends, key=str) == [None, None, None, DeliveryState.SENT]
    assert len(office.envelopes) == 1


def test_a_claim_that_ran_out_is_taken_over_with_the_same_message_id(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    delivery = shop.send(mail)
    with shop.database.writing() as session:
        assert claim(session, delivery, mail, shop.clock())
    assert shop.deliver(mail, delivery) is None
    shop.later(timedelta(minutes=10))

    assert shop.deliver(mail, delivery) is DeliveryState.SENT
    assert office.mails[0]["Message-ID"] == shop.row(delivery).message_id


def test_a_mail_on_which_every_worker_breaks_is_given_up(shop: Shop, mail: MailSettings) -> None:
    delivery = shop.send(mail)
    for _ in range(len(PAUSES) + 2):
        with shop.database.writing() as session:
            claim(session, delivery, mail, shop.clock())
        shop.later(timedelta(minutes=10))

    assert shop.row(delivery).state == DeliveryState.FAILED
    assert "broke off" in shop.row(delivery).reason


def test_a_server_without_smtputf8_still_gets_the_mail(shop: Shop) -> None:
    with opened(enable_SMTPUTF8=False) as office:
        mail = to_server(office.port)
        assert shop.deliver(mail, shop.send(mail)) is DeliveryState.SENT


def test_the_log_says_that_a_mail_failed_and_not_whom_it_was_for(
    shop: Shop,
    office: PostOffice,
    mail: MailSettings,
    caplog: pytest.LogCaptureFixture,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    office.refuse = "550 <ottoline@wrack.example> Ottoline Wrack has moved"
    delivery = shop.send(mail)
    assert shop.deliver(mail, delivery) is DeliveryState.FAILED
    assert "ottoline@wrack.example" in shop.row(delivery).reason  # the maker is told

    def broken(*_: object) -> None:
        message = "ottoline@wrack.example"
        raise LookupError(message)

    monkeypatch.setattr(deliver_module, "parcel_of", broken)
    other = shop.send(mail)
    assert shop.deliver(mail, other) is DeliveryState.WAITING

    assert f"delivery {delivery} was not carried: given up" in caplog.text
    assert f"delivery {other}: LookupError at" in caplog.text
    assert "test_deliver.py" in caplog.text
    assert "ttoline" not in caplog.text
