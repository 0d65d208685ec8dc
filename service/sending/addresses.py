"""Names and addresses of mail, made safe to stand in a header.

A mail's header ends at a line end, and `=?...?=` in it is read as an encoded word, which can
hold a line end. Both are taken out of names; an address with either is refused.
"""

import re
from email.headerregistry import Address
from typing import Final

from service.errors import UnreadableError

# A local part and a label as RFC 5321 and RFC 6531 write them unquoted.
_LOCAL: Final = re.compile(r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~\u00a1-\U0010ffff-]+")
_LABEL: Final = re.compile(r"[A-Za-z0-9\u00a1-\U0010ffff][A-Za-z0-9\u00a1-\U0010ffff-]*")
# Controls, line ends, halves of characters, and what turns the direction of writing round.
_BREAKS: Final = re.compile(
    r"[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]+"
)
LONGEST: Final = 254  # RFC 5321 4.5.3.1.3: a path of 256 octets has two angle brackets


def plain(text: str, most: int = 200) -> str:
    """Return a text as one line that no mail program reads as more than itself."""
    text = _BREAKS.sub(" ", text)
    while "=?" in text:
        text = text.replace("=?", "= ?")
    return " ".join(text.split())[:most].strip()


def _ascii_domain(domain: str) -> str:
    labels = domain.split(".")
    if not all(map(_LABEL.fullmatch, labels)) or labels[-1].isdigit():
        raise ValueError
    return domain.encode("idna").decode().lower()


def read_address(text: str, field: str = "to") -> str:
    """Return an address as it is sent to: a domain beyond ASCII in its ASCII form (RFC 5890).

    Raises:
        UnreadableError: if it is none.
    """
    local, _, domain = text.strip().rpartition("@")
    try:
        dots = local.split(".")
        sound = local.isprintable() and "=?" not in local
        if not sound or not all(map(_LOCAL.fullmatch, dots)):
            raise ValueError  # noqa: TRY301 - one sentence for all that an address can lack
        address = f"{local}@{_ascii_domain(domain)}"
        if len(address.encode()) > LONGEST:
            raise ValueError  # noqa: TRY301 - as above
    except ValueError as error:
        shown = plain(text, 60) or "nothing"
        sentence = f"“{shown}” is no e-mail address. Write it like name@example.org."
        raise UnreadableError(sentence, {field: sentence}) from error
    return address


def mailbox(name: str, address: str) -> Address:
    """Return a mailbox for a header: a name, made plain, and an address that was read."""
    username, _, domain = address.rpartition("@")
    return Address(plain(name), username, domain)


def needs_utf8(*addresses: str) -> bool:
    """Return whether one of some addresses needs a server with SMTPUTF8 (RFC 6531)."""
    return not all(address.isascii() for address in addresses)
