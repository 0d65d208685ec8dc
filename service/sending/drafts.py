"""A draft: a mail as it would be sent now, or papers as they would be handed over."""

import hashlib
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from babel.lists import format_list
from sqlmodel import Session, col, select

from documents.care_words import UNNAMED, UNNAMED_WHOM
from documents.language import ENGLISH, Language, language, languages
from documents.page import Paper
from service.bodies import ShopIn
from service.errors import NotAllowedError, NotFoundError
from service.models import PaperCopy
from service.orders import Found, found
from service.planning import plan_again
from service.sending.addresses import plain, read_address
from service.sending.kinds import PaperKind, mail_kind, paper_kind
from service.sending.templates import filled, template_of
from service.sending.words import Source
from service.settings import MailSettings
from service.shop import shop_of
from service.together import priced

CONFIRM: Final = "/confirm/"
"""Where the buyer confirms, below Hoodwright's public address."""
SAMPLE_LINK: Final = "https://hoodwright.example/confirm/…"


@dataclass(frozen=True, slots=True)
class Enclosed:
    """A paper to send: its bytes, and what they are called."""

    kind: str
    name: str
    media: str
    content: bytes

    @property
    def sha256(self) -> str:
        """Return the digest of the bytes, in hex."""
        return hashlib.sha256(self.content).hexdigest()


@dataclass(frozen=True, slots=True)
class Draft:
    """A mail as it would be sent.

    Attributes:
        mark: stands in the confirm link in the place of the secret; empty without a link.
    """

    kind: str
    language: str
    sender: str
    to_name: str
    to_address: str
    words: Source
    mark: str
    papers: tuple[Enclosed, ...]


def sender_of(mail: MailSettings, shop: ShopIn) -> str:
    """Return the address that mails are from.

    Raises:
        NotAllowedError: if neither the settings nor the shop has one.
        UnreadableError: if it is no address.
    """
    address = mail.sender or shop.email
    if not address:
        sentence = (
            "Mails need an address they are from. Fill in the e-mail of your shop, or set"
            " HOODWRIGHT_MAIL_FROM."
        )
        raise NotAllowedError(sentence)
    return read_address(address, "from")


def enclosed(order: Found, shop: ShopIn, kind: str, code: str) -> Enclosed:
    """Return a paper of an order as it is now.

    Raises:
        NotFoundError: if there is no such paper or language.
        NoPlanError: if it needs a plan and there is none.
    """
    one: PaperKind = paper_kind(kind)
    if code not in languages():
        raise NotFoundError(
            f"There is no language “{code[:20]}”. There are: {', '.join(languages())}."
        )
    content = one.draw(order, shop, Paper(shop.paper), code)
    ending = one.media.rpartition("/")[2]
    return Enclosed(kind, f"{one.file}-{order.order.number}.{ending}", one.media, content)


def _named(hoods: Sequence[Found], unnamed: str, said: Language) -> str:
    """Return the dogs of some hoods, each once, as they are named in a sentence."""
    dogs = (plain(one.order.asked["dog"]["name"]) or said.say(unnamed) for one in hoods)
    return format_list(list(dict.fromkeys(dogs)), locale=said.code)


def _price(hoods: Sequence[Found], said: Language) -> str:
    """Return the price of all the hoods, or nothing while one has none."""
    prices = [plan_again(one.order.plan).price for one in hoods if one.order.plan]
    if len(prices) < len(hoods):
        return ""
    return said.money(sum((one.total for one in prices), Decimal(0)), prices[0].currency)


def values_of(
    order: Found, shop: ShopIn, said: Language, link: str, hoods: Sequence[Found] = ()
) -> dict[str, str]:
    """Return what a mail's templates may name, as plain texts.

    Args:
        order: whose mail it is.
        shop: whose words these are.
        said: their language.
        link: by which the buyer confirms, or nothing.
        hoods: what the mail is about; the order's own hood where none are named.
    """
    hoods = hoods or (order,)
    days = [one.order.due for one in hoods if one.order.due]
    return {
        "buyer": plain(order.order.asked["buyer"]["name"]),
        "dog": _named(hoods, UNNAMED, said),
        "whom": _named(hoods, UNNAMED_WHOM, said),
        "hoods": str(len(hoods)) if len(hoods) > 1 else "",
        "shop": plain(shop.name),
        "shop_email": plain(shop.email),
        "number": order.order.number,
        "due": said.date(max(days)) if len(days) == len(hoods) else "",
        "price": _price(hoods, said),
        "confirm_link": link,
    }


def _words(
    session: Session,
    order: Found,
    shop: ShopIn,
    which: tuple[str, str],
    mail: MailSettings,
    mark: str,
) -> Source:
    """Return a mail's words, of a kind in a language; the link stands where there is a mark."""
    kind, code = which
    link = f"{mail.address}{CONFIRM}{mark}" if mark else ""
    kept = template_of(session, kind, code)
    # Its quote is over all that go together, and the mail must say the sum that stands there.
    hoods = priced(order) if "quote" in mail_kind(kind).papers else (order,)
    return filled(kept.source, values_of(order, shop, language(code), link, hoods))


def letter_of(session: Session, number: str, kind: str, mail: MailSettings, code: str) -> Source:
    """Return the words of a mail as it would be sent now; its papers are not drawn for that.

    Raises:
        NotFoundError: if there is no such order, mail or language.
        UnreadableError: if the maker's words cannot be filled in.
    """
    order, (shop, _) = found(session, number), shop_of(session)
    mark = secrets.token_hex(16) if mail_kind(kind).confirms and mail.address else ""
    return _words(session, order, shop, (kind, code), mail, mark)


def drafted(
    session: Session, number: str, kind: str, mail: MailSettings, code: str = ENGLISH, to: str = ""
) -> Draft:
    """Return a mail about an order as it would be sent now, to the buyer or another address.

    Raises:
        NotFoundError: if there is no such order, mail or language.
        NoPlanError: if a paper needs a plan and there is none.
        NotAllowedError: if there is no address to send to or from.
        UnreadableError: if an address is none, or the maker's words cannot be filled in.
    """
    order, (shop, _) = found(session, number), shop_of(session)
    one = mail_kind(kind)
    sender = sender_of(mail, shop)
    buyer = order.order.asked["buyer"]
    if not (to or buyer["email"]):
        sentence = "The order has no e-mail of its buyer. Fill it in, or hand the papers over."
        raise NotAllowedError(sentence)
    mark = secrets.token_hex(16) if one.confirms and mail.address else ""
    return Draft(
        kind=kind,
        language=code,
        sender=sender,
        to_name=plain(buyer["name"]),
        to_address=read_address(to or buyer["email"]),
        words=_words(session, order, shop, (kind, code), mail, mark),
        mark=mark,
        papers=tuple(enclosed(order, shop, paper, code) for paper in one.papers),
    )


def sample(session: Session, source: Source, code: str) -> Source:
    """Return templates filled in with invented values, for a look at them.

    Raises:
        TemplateFaultError: if they cannot be.
    """
    shop, _ = shop_of(session)
    said = language(code)
    values = {
        "buyer": "Tilda Fenwright",
        "dog": "Pipkin",
        "whom": "Pipkin",
        "hoods": "",
        "shop": plain(shop.name) or "Marrowfield Hoods",
        "shop_email": plain(shop.email) or "odile@marrowfield.example",
        "number": "2027-0001",
        "due": said.date(date(2027, 3, 12)),
        "price": "64.20 EUR",
        "confirm_link": SAMPLE_LINK,
    }
    return filled(source, values)


def keep_paper(session: Session, order: Found, paper: Enclosed, now: datetime) -> PaperCopy:
    """Return the kept copy of a paper; the same bytes are kept once."""
    query = select(PaperCopy).where(
        col(PaperCopy.order_id) == order.order.id,
        col(PaperCopy.kind) == paper.kind,
        col(PaperCopy.sha256) == paper.sha256,
    )
    row = session.exec(query).first()
    if row is None:
        row = PaperCopy(
            order_id=order.order.id or 0,
            kind=paper.kind,
            name=paper.name,
            media=paper.media,
            sha256=paper.sha256,
            content=paper.content,
            order_version=order.order.version,
            made_at=now,
        )
        session.add(row)
        session.flush()
    return row
