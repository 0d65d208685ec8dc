"""Whatever a name or an address holds, a mail has the headers that we gave it and no other."""

from email.headerregistry import AddressHeader

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.bodies import ShopIn
from service.errors import UnreadableError
from service.given import DeliveryState
from service.models import Delivery
from service.sending.addresses import plain, read_address
from service.sending.message import parcel_of
from service.settings import MailSettings
from tests.service.api import FixedClock
from tests.service.sending.conftest import SHOP, Shop, to_server
from tests.service.sending.postoffice import PostOffice, opened, parsed

HEADERS = {
    "From", "To", "Subject", "Date", "Message-ID", "Content-Language", "MIME-Version",
    "Content-Type",
}  # fmt: skip
NASTY = (
    "Tilda\r\nBcc: all@thieves.example",
    "Tilda\nBcc: all@thieves.example",
    "Tilda\rBcc: all@thieves.example",
    "Tilda\r\n\r\n<p>another body</p>",
    "=?utf-8?q?Tilda=0D=0ABcc=3A_all=40thieves=2Eexample?=",
    "=?utf-8?b?VGlsZGENCkJjYzogYWxsQHRoaWV2ZXMuZXhhbXBsZQ==?= Fenwright",
    "=?=?utf-8?q?=0D=0ABcc=3A_a=40b=2Eexample?=",
    'Tilda" <all@thieves.example>, "Fenwright',
    "Tilda <all@thieves.example>",
    "all@thieves.example, Tilda",
    "Tilda\u2028Bcc: all@thieves.example",
    "Tilda\x0bBcc: all@thieves.example\x00",
    "Zo\u0301fia \u202etilda \U0001f415" * 5,
    "(comment) Tilda; group:",
    "x" * 300,
)
MAIL = MailSettings(host="mail.example")


def built(name: str, shop_name: str = SHOP.name, subject: str = "Your hood") -> bytes:
    """A mail to a buyer of a name, as it goes over the wire."""
    row = Delivery(
        order_id=1, kind="care", language="en", state="waiting", to_name=name,
        to_address="tilda@fenwright.example", subject=subject, text="Hello\n", html="<p>Hello</p>",
        message_id="<1@hoods.example>", next_at=FixedClock.now, created_at=FixedClock.now,
    )  # fmt: skip
    shop = ShopIn.model_construct(name=shop_name, email=SHOP.email)
    return parcel_of(row, [], shop, MAIL, "", FixedClock.now).bytes()


def assert_sound(raw: bytes) -> None:
    message = parsed(raw)
    assert set(message.keys()) == HEADERS
    assert len(message.keys()) == len(HEADERS)
    for name, address in (("To", "tilda@fenwright.example"), ("From", SHOP.email)):
        header = message[name]
        assert isinstance(header, AddressHeader)
        assert [one.addr_spec for one in header.addresses] == [address]
        assert "\n" not in str(header)
    assert "\n" not in message["Subject"]
    body = message.get_body(("plain",))
    assert body is not None
    assert body.get_content() == "Hello\r\n"


@pytest.mark.parametrize("name", NASTY)
def test_a_nasty_name_stays_a_name(name: str) -> None:
    assert_sound(built(name))
    assert_sound(built("Tilda", shop_name=name))
    assert_sound(built("Tilda", subject=name))


@given(name=st.text(max_size=120))
@settings(max_examples=150, deadline=None)
def test_any_name_stays_a_name(name: str) -> None:
    assert_sound(built(name, shop_name=name, subject=name))


@given(name=st.text('=?utf8qbQB_-\r\n<>@,;:"\\ a\u00e9', max_size=60))
@settings(max_examples=200, deadline=None)
def test_any_name_of_what_headers_are_made_of_stays_a_name(name: str) -> None:
    assert_sound(built(name, shop_name=name, subject=name))


@pytest.mark.parametrize("name", ["Zofia Wąsik", "O'Brien", "Ø", 'José "Pepe" Ruiz', "犬 太郎"])
def test_an_honest_name_arrives_as_it_is(name: str) -> None:
    (to,) = parsed(built(name))["To"].addresses

    assert to.display_name == name


@pytest.mark.parametrize(
    "text",
    [
        "", "@", "tilda", "tilda@", "@example.org", "tilda@@example.org", "a b@example.org",
        "tilda@example.org\r\nBcc: x@y.example", "tilda\n@example.org", "tilda@exam ple.org",
        "<tilda@example.org>", "Tilda <tilda@example.org>", "a@b.example, c@d.example",
        "a@b.example;c@d.example", "=?utf-8?q?x?=@example.org", "tilda@-.example",
        "a..b@example.org",
        ".a@example.org", "tilda@example..org", "tilda@example.org.", '"a b"@example.org',
        "tilda@[127.0.0.1]", "tilda@127.0.0.1", "a\x00@example.org", "a\u2028@example.org",
        "x" * 250 + "@example.org", "tilda@" + "x" * 70 + ".example", "\ud800@example.org",
    ],
)  # fmt: skip
def test_what_is_no_address_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(UnreadableError, match=r"name@example\.org") as refused:
        read_address(text)

    assert set(refused.value.fields) == {"to"}


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("tilda@fenwright.example", "tilda@fenwright.example"),
        ("  Tilda.F+dogs@Fenwright.Example ", "Tilda.F+dogs@fenwright.example"),
        ("o'brien@example.org", "o'brien@example.org"),
        # RFC 5891 and RFC 3492's way of writing; the example of the latter's section 7.1 form
        ("tilda@bücher.example", "tilda@xn--bcher-kva.example"),
        ("żółw@example.org", "żółw@example.org"),
    ],
)
def test_an_address_is_read_and_its_domain_made_ascii(text: str, read: str) -> None:
    assert read_address(text) == read


@given(text=st.text(max_size=80))
@settings(max_examples=200, deadline=None)
def test_any_text_is_an_address_of_one_line_or_refused(text: str) -> None:
    try:
        address = read_address(f"{text}@example.org")
    except UnreadableError:
        return
    assert len(address.splitlines()) == 1
    assert not set(address) & set(' <>,;:"()[]\\')
    assert plain(address) == address


def test_a_domain_beyond_ascii_needs_nothing_of_the_server(shop: Shop) -> None:
    with opened(enable_SMTPUTF8=False) as office:
        mail = to_server(office.port)
        delivery = shop.send(mail, to="tilda@bücher.example")
        assert shop.deliver(mail, delivery) is DeliveryState.SENT

    assert office.envelopes[0].rcpt_tos == ["tilda@xn--bcher-kva.example"]


def test_an_address_beyond_ascii_goes_as_utf8(shop: Shop, office: PostOffice) -> None:
    mail = to_server(office.port)
    delivery = shop.send(mail, to="żółw@bücher.example")

    assert shop.deliver(mail, delivery) is DeliveryState.SENT
    (envelope,) = office.envelopes
    assert envelope.rcpt_tos == ["żółw@xn--bcher-kva.example"]
    assert envelope.smtp_utf8
    assert "To: Ottoline Wrack <żółw@xn--bcher-kva.example>\r\n".encode() in office.raw(0)


def test_an_address_beyond_ascii_is_refused_where_the_server_takes_none(shop: Shop) -> None:
    with opened(enable_SMTPUTF8=False) as office:
        mail = to_server(office.port)
        delivery = shop.send(mail, to="żółw@example.org")
        assert shop.deliver(mail, delivery) is DeliveryState.FAILED

    assert "Ask the buyer for another address" in shop.row(delivery).reason
    assert office.envelopes == []


def test_a_row_spoilt_in_the_database_is_given_up_and_harms_nobody(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    delivery = shop.send(mail)
    with shop.database.writing() as session:
        row = session.get_one(Delivery, delivery)
        row.to_address = "tilda@example.org\r\nBcc: all@thieves.example"
        session.add(row)

    assert shop.deliver(mail, delivery) is DeliveryState.FAILED
    assert "is no e-mail address" in shop.row(delivery).reason
    assert office.envelopes == []


def test_a_buyer_with_a_bad_address_is_named_before_anything_is_kept(
    shop: Shop, mail: MailSettings
) -> None:
    number = shop.take(buyer={"name": "Tilda", "email": "tilda at example"})
    with pytest.raises(UnreadableError, match="tilda at example"):
        shop.send(mail, number=number)
