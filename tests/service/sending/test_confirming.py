"""A buyer confirms by a secret that only the mail holds, and trying others tells nothing."""

import hashlib
import re
from datetime import timedelta

import pytest
from httpx2 import Response
from sqlmodel import select
from starlette.testclient import TestClient

from service.given import DeliveryState
from service.models import Confirmation, Delivery
from service.sending.confirming import GOOD_FOR
from service.settings import MailSettings
from service.web.application import create_app
from tests.entering import BEARER
from tests.service.api import assert_problem
from tests.service.sending.conftest import Shop
from tests.service.sending.postoffice import PostOffice

LINK = re.compile(r"https://hoods\.example/confirm/([A-Za-z0-9_-]+)")
SAID = "Care and supervision sheet: the buyer confirms having read the cautions."


@pytest.fixture
def client(shop: Shop, mail: MailSettings) -> TestClient:
    return TestClient(create_app(shop.database, shop.clock, mail), raise_server_exceptions=False)


def secrets_in(office: PostOffice, place: int = -1) -> list[str]:
    """The secrets in text and HTML of a mail."""
    parts = [office.mails[place].get_body((kind,)) for kind in ("plain", "html")]
    return [secret for part in parts if part for secret in LINK.findall(part.get_content())]


@pytest.fixture
def secret(shop: Shop, office: PostOffice, mail: MailSettings) -> str:
    assert shop.deliver(mail, shop.send(mail)) is DeliveryState.SENT
    found = set(secrets_in(office))
    assert len(found) == 1
    return found.pop()


def assert_private(answer: Response) -> None:
    assert answer.headers["Referrer-Policy"] == "no-referrer"
    assert "noindex" in answer.headers["X-Robots-Tag"]
    assert answer.headers["Cache-Control"] == "no-store"


def test_the_secret_has_128_bits_and_is_kept_as_a_digest_alone(shop: Shop, secret: str) -> None:
    assert len(secret) * 6 >= 128
    with shop.database.reading() as session:
        (row,) = session.exec(select(Confirmation)).all()
        (delivery,) = session.exec(select(Delivery)).all()
        dump = repr(row) + repr(delivery) + delivery.text + delivery.html
    assert row.token_hash == hashlib.sha256(secret.encode()).hexdigest()
    assert secret not in dump


def test_text_and_html_hold_the_same_link(secret: str, office: PostOffice) -> None:
    assert secrets_in(office) == [secret] * 3  # in HTML as what is seen and where it leads


def test_a_look_changes_nothing_and_the_button_is_written_down(
    client: TestClient, shop: Shop, secret: str
) -> None:
    for _ in range(2):
        seen = client.get(f"/confirm/{secret}")
        assert seen.status_code == 200
        assert_private(seen)
        assert "I have read the cautions" in seen.text
        assert "Never leave Bramble alone in the hood." in seen.text
        assert "{" not in seen.text.partition("<main")[2]
        assert "ask your vet" in seen.text.lower()
    assert SAID not in shop.history()

    said = client.post(f"/confirm/{secret}")
    assert said.status_code == 200
    assert_private(said)
    assert "You confirmed this on March 14, 2026." in said.text
    assert shop.history()[-1] == SAID


def test_a_browser_that_hides_where_it_comes_from_may_confirm(
    client: TestClient, shop: Shop, secret: str
) -> None:
    answer = client.post(f"/confirm/{secret}", headers={"Origin": "null"})

    assert answer.status_code == 200
    assert shop.history()[-1] == SAID


def test_twice_is_written_down_once(client: TestClient, shop: Shop, secret: str) -> None:
    first = client.post(f"/confirm/{secret}")
    shop.later(timedelta(days=3))

    assert client.post(f"/confirm/{secret}").text == first.text
    assert shop.history().count(SAID) == 1


def test_the_sheet_behind_the_link_is_the_one_that_was_sent(
    client: TestClient, shop: Shop, secret: str
) -> None:
    with shop.database.reading() as session:
        (delivery,) = session.exec(select(Delivery)).all()
    answer = client.get(f"/confirm/{secret}/sheet.pdf")

    assert answer.content == shop.papers(delivery.id or 0)[0].content
    assert_private(answer)


def test_what_is_not_valid_is_answered_alike(client: TestClient, shop: Shop, secret: str) -> None:
    shop.later(GOOD_FOR)
    with shop.database.reading() as session:
        (delivery,) = session.exec(select(Delivery)).all()
    wrong = (secret, "A" * 22, "A" * 21, "x", delivery.mark, "%00", secret.swapcase(), "é" * 22)
    answers = [
        answer
        for one in wrong
        for answer in (client.get(f"/confirm/{one}"), client.post(f"/confirm/{one}"))
    ]

    assert {(one.status_code, one.text) for one in answers} == {(404, answers[0].text)}
    for answer in answers:
        assert_private(answer)
    assert client.get(f"/confirm/{'A' * 22}/sheet.pdf").status_code == 404
    assert SAID not in shop.history()
    assert "Hoodwright" not in answers[0].text


def test_each_copy_of_a_repeated_mail_has_a_link_that_works(
    client: TestClient, shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    office.dropping = True
    delivery = shop.send(mail)
    shop.deliver(mail, delivery)
    office.dropping = False
    shop.later(timedelta(minutes=1))
    shop.deliver(mail, delivery)
    first, second = (secrets_in(office, place)[0] for place in (0, 1))

    assert first != second
    assert client.post(f"/confirm/{first}").status_code == 200
    assert "You confirmed" in client.get(f"/confirm/{second}").text
    assert shop.history().count(SAID) == 1


def test_a_mail_that_does_not_ask_makes_no_secret(shop: Shop, mail: MailSettings) -> None:
    plain = MailSettings(host=mail.host, port=mail.port, security=mail.security)
    shop.deliver(plain, shop.send(plain))

    with shop.database.reading() as session:
        assert session.exec(select(Confirmation)).all() == []


def test_programs_confirm_too(client: TestClient, shop: Shop, secret: str) -> None:
    answer = client.post(f"/api/v1/confirmations/{secret}")

    assert answer.json() == {"dog": "Bramble", "confirmed_at": "2026-03-14T09:26:53Z"}
    assert "noindex" in answer.headers["X-Robots-Tag"]
    listed = client.get(f"/api/v1/orders/{shop.number}/deliveries", headers=BEARER).json()
    assert listed["confirmed_at"] == "2026-03-14T09:26:53Z"
    assert_problem(client.post("/api/v1/confirmations/" + "A" * 22), 404, "not-found")
