"""No order is closed whose buyer has no care sheet, unless the maker says why."""

import pytest

from service.errors import NotAllowedError
from service.given import DeliveryState
from service.orders import found, move_order
from service.sending.outbox import by_hand, hand_over, send_again
from service.settings import MailSettings
from tests.service.sending.conftest import Shop
from tests.service.sending.postoffice import PostOffice


def move(shop: Shop, to: str, note: str = "") -> None:
    with shop.database.writing() as session:
        version = found(session, shop.number).order.version
        move_order(session, shop.number, to, version, shop.clock(), note)


def close(shop: Shop, note: str = "") -> None:
    """Move the order along to its end."""
    for state in ("accepted", "making", "finished"):
        move(shop, state)
    move(shop, "handed over", note)


def state_of(shop: Shop) -> str:
    with shop.database.reading() as session:
        return found(session, shop.number).order.state


@pytest.mark.parametrize("note", ["", "  ", "ok"])
def test_without_the_sheet_and_without_a_reason_an_order_stays_open(shop: Shop, note: str) -> None:
    with pytest.raises(NotAllowedError, match="no care and supervision sheet yet"):
        close(shop, note)

    assert state_of(shop) == "finished"


def test_a_reason_closes_it_and_stands_in_the_history(shop: Shop) -> None:
    close(shop, "The buyer has the sheet of the last hood.")

    with shop.database.reading() as session:
        event = found(session, shop.number).events[-1]
    assert (event.kind, event.note) == ("moved", "The buyer has the sheet of the last hood.")


def test_a_sheet_on_paper_closes_it_and_is_kept(shop: Shop) -> None:
    with shop.database.writing() as session:
        delivery = hand_over(session, shop.number, "care", "en", shop.clock()).id or 0
    close(shop)

    assert state_of(shop) == "handed over"
    assert shop.papers(delivery)[0].content.startswith(b"%PDF")
    assert shop.history() == ["Care and supervision sheet: handed over on paper."]


@pytest.mark.parametrize("kind", ["care", "on-its-way"])
def test_a_sheet_that_was_mailed_closes_it(
    shop: Shop, office: PostOffice, mail: MailSettings, kind: str
) -> None:
    shop.deliver(mail, shop.send(mail, kind))
    close(shop)

    assert state_of(shop) == "handed over"
    assert len(office.envelopes) == 1


def test_a_mail_that_waits_or_was_given_up_is_no_sheet(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    shop.send(mail)
    office.refuse = "550 No"
    shop.deliver(mail, shop.send(mail))

    with pytest.raises(NotAllowedError):
        close(shop)


def test_a_sheet_of_another_order_is_none_of_this_one(shop: Shop) -> None:
    other = shop.take()
    with shop.database.writing() as session:
        hand_over(session, other, "care", "en", shop.clock())

    with pytest.raises(NotAllowedError):
        close(shop)


@pytest.mark.parametrize("state", [DeliveryState.SENT, DeliveryState.HANDED_OVER])
def test_a_mail_in_a_file_is_no_sheet_until_the_maker_has_sent_it(
    shop: Shop, to_files: MailSettings, state: DeliveryState
) -> None:
    delivery = shop.send(to_files)
    shop.deliver(to_files, delivery)
    with pytest.raises(NotAllowedError):
        close(shop)
    with shop.database.writing() as session:
        by_hand(session, shop.number, delivery, state, shop.clock())
    move(shop, "handed over")

    assert state_of(shop) == "handed over"
    with pytest.raises(NotAllowedError, match="already"), shop.database.writing() as session:
        by_hand(session, shop.number, delivery, state, shop.clock())


def test_what_was_given_up_is_sent_again_under_its_message_id(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    office.refuse = "550 No such mailbox"
    delivery = shop.send(mail)
    shop.deliver(mail, delivery)
    office.refuse = ""
    with shop.database.writing() as session:
        assert send_again(session, shop.number, delivery, mail, shop.clock()).id == delivery

    assert shop.deliver(mail, delivery) is DeliveryState.SENT
    assert office.mails[0]["Message-ID"] == shop.row(delivery).message_id
    assert shop.row(delivery).attempts == 1


def test_what_was_sent_is_sent_again_as_a_new_mail(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    delivery = shop.send(mail)
    shop.deliver(mail, delivery)
    with shop.database.writing() as session:
        again = send_again(session, shop.number, delivery, mail, shop.clock()).id or 0
    shop.deliver(mail, again)

    assert again != delivery
    assert len({message["Message-ID"] for message in office.mails}) == 2


def test_what_is_on_its_way_or_was_on_paper_is_not_sent_again(
    shop: Shop, mail: MailSettings
) -> None:
    waiting = shop.send(mail)
    with shop.database.writing() as session:
        paper = hand_over(session, shop.number, "care", "en", shop.clock()).id or 0
        for delivery in (waiting, paper):
            with pytest.raises(NotAllowedError):
                send_again(session, shop.number, delivery, mail, shop.clock())
