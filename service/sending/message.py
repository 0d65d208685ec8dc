"""A delivery made into a message: text, the same as HTML, and the papers attached."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime
from typing import Final

from service.bodies import ShopIn
from service.models import Delivery, PaperCopy
from service.sending.addresses import mailbox, needs_utf8, plain, read_address
from service.sending.drafts import sender_of
from service.settings import MailSettings

# No server needs to take eight-bit text then.
_SEVEN_BIT: Final = SMTP.clone(cte_type="7bit")
DRAFT: Final = "X-Unsent"
"""Mail programs that know this header open the file as a draft, ready to be sent."""


@dataclass(frozen=True, slots=True)
class Parcel:
    """A message and its envelope.

    Attributes:
        utf8: whether it needs a server that takes addresses beyond ASCII (RFC 6531).
    """

    sender: str
    to: str
    message: EmailMessage
    utf8: bool

    def bytes(self, *, draft: bool = False) -> bytes:
        """Return the message as it goes over the wire; as a draft for a mail program."""
        if draft:
            self.message[DRAFT] = "1"
        return self.message.as_bytes(policy=_SEVEN_BIT.clone(utf8=self.utf8))


def parcel_of(
    delivery: Delivery,
    papers: Sequence[PaperCopy],
    shop: ShopIn,
    mail: MailSettings,
    secret: str,
    now: datetime,
) -> Parcel:
    """Return a delivery as a message, with a secret in the place of the confirm link's mark.

    Raises:
        NotAllowedError, UnreadableError: if there is no address that it could be from or to.
    """
    sender, to = sender_of(mail, shop), read_address(delivery.to_address)
    message = EmailMessage(policy=_SEVEN_BIT)
    message["From"] = mailbox(shop.name, sender)
    message["To"] = mailbox(delivery.to_name, to)
    if shop.email and read_address(shop.email) != sender:
        message["Reply-To"] = mailbox(shop.name, read_address(shop.email))
    message["Subject"] = plain(delivery.subject, 300)
    message["Date"] = format_datetime(now)
    message["Message-ID"] = delivery.message_id or ""
    text, html = delivery.text, delivery.html
    if delivery.mark:
        text, html = (part.replace(delivery.mark, secret) for part in (text, html))
    message.set_content(text)
    message.add_alternative(html, subtype="html")
    for paper in papers:
        main, _, sub = paper.media.partition("/")
        message.add_attachment(paper.content, maintype=main, subtype=sub, filename=paper.name)
    # Last: set before, it would be taken for the text's alone.
    message["Content-Language"] = delivery.language
    return Parcel(sender, to, message, needs_utf8(sender, to, shop.email))
