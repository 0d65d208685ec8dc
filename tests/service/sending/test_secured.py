"""The way to the mail server: encrypted, checked, and with the maker's password."""

import ssl
from collections.abc import Iterator
from pathlib import Path

import pytest

from service.given import DeliveryState
from service.settings import MailSettings, Security
from tests.service.sending.conftest import Shop
from tests.service.sending.postoffice import (
    HOST,
    PASSWORD,
    USER,
    PostOffice,
    certificate,
    opened,
    secured,
)

Papers = tuple[Path, ssl.SSLContext]


@pytest.fixture(scope="module")
def papers(tmp_path_factory: pytest.TempPathFactory) -> Papers:
    """The server's certificate and its context."""
    return certificate(tmp_path_factory.mktemp("certificate"))


@pytest.fixture
def strict(papers: Papers) -> Iterator[PostOffice]:
    """A server that wants STARTTLS and a password."""
    with opened(**secured(papers[1])) as office:
        yield office


def settings(office: PostOffice, papers: Papers, **changes: object) -> MailSettings:
    named = {
        "host": HOST, "port": office.port, "security": Security.STARTTLS, "timeout": 5,
        "user": USER, "password": PASSWORD, "ca_file": papers[0],
    }  # fmt: skip
    return MailSettings(**{**named, **changes})  # type: ignore[arg-type]  # as named


def test_starttls_with_a_password(shop: Shop, strict: PostOffice, papers: Papers) -> None:
    mail = settings(strict, papers)

    assert shop.deliver(mail, shop.send(mail)) is DeliveryState.SENT
    assert strict.secured == [True]


def test_tls_from_the_first_byte(shop: Shop, papers: Papers) -> None:
    with opened(ssl_context=papers[1]) as office:
        mail = settings(office, papers, security=Security.TLS, user="")
        assert shop.deliver(mail, shop.send(mail)) is DeliveryState.SENT
        assert len(office.mails) == 1


def test_a_wrong_password_is_said_and_not_tried_again(
    shop: Shop, strict: PostOffice, papers: Papers
) -> None:
    mail = settings(strict, papers, password="three plies")  # noqa: S106 - an invented one
    delivery = shop.send(mail)

    assert shop.deliver(mail, delivery) is DeliveryState.FAILED
    reason = shop.row(delivery).reason
    assert reason.startswith("The mail server answered 535")
    assert "plies" not in reason
    assert strict.envelopes == []


@pytest.mark.parametrize("security", [Security.STARTTLS, Security.TLS])
def test_a_certificate_that_nobody_vouches_for_is_not_trusted(
    shop: Shop, papers: Papers, security: Security
) -> None:
    way = {"ssl_context": papers[1]} if security is Security.TLS else secured(papers[1])
    with opened(**way) as office:
        mail = settings(office, papers, ca_file=None, security=security)
        delivery = shop.send(mail)
        assert shop.deliver(mail, delivery) is DeliveryState.WAITING

    assert "certificate cannot be trusted" in shop.row(delivery).reason
    assert office.envelopes == []


def test_a_certificate_for_another_name_is_not_trusted(
    shop: Shop, strict: PostOffice, papers: Papers
) -> None:
    mail = settings(strict, papers, host="127.0.0.2")
    delivery = shop.send(mail)

    assert shop.deliver(mail, delivery) is DeliveryState.WAITING
    assert strict.envelopes == []


def test_a_server_without_starttls_gets_no_mail_in_the_clear(shop: Shop, papers: Papers) -> None:
    with opened() as office:
        mail = settings(office, papers)
        delivery = shop.send(mail)
        assert shop.deliver(mail, delivery) is DeliveryState.FAILED

    assert "STARTTLS" in shop.row(delivery).reason
    assert office.envelopes == []


def test_a_server_that_wants_starttls_gets_nothing_without(
    shop: Shop, strict: PostOffice, papers: Papers
) -> None:
    mail = settings(strict, papers, security=Security.NONE, user="")
    delivery = shop.send(mail)

    assert shop.deliver(mail, delivery) is DeliveryState.FAILED
    assert shop.row(delivery).reason.startswith("The mail server answered 530")


def test_the_password_shows_in_no_account_of_the_settings(
    strict: PostOffice, papers: Papers
) -> None:
    assert PASSWORD not in repr(settings(strict, papers))
