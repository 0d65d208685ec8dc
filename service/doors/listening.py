"""Where Hoodwright may listen: on this machine always, elsewhere only behind a door that holds."""

from ipaddress import ip_address

from sqlmodel import Session

from service.doors.accounts import has_password
from service.settings import Settings


class ListeningError(Exception):
    """An address that it must not listen on as things are; the sentence says what to do."""

    code = 1


def is_loopback(host: str) -> bool:
    """Return whether an address is reached from this machine alone."""
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def check_listening(session: Session, host: str, settings: Settings) -> None:
    """Refuse to be reached from other machines without a password, or without TLS in front.

    Raises:
        ListeningError: naming what is missing.
    """
    if is_loopback(host):
        return
    missing = []
    if not has_password(session):
        missing.append(
            "nobody has set a password yet (start it on 127.0.0.1 first and choose one, or make"
            " the first account by `hoodwright first-account`)"
        )
    if not settings.tls_proxy:
        missing.append(
            "HOODWRIGHT_TLS_PROXY does not say which proxy in front ends TLS (its IP address)"
        )
    if not settings.address.startswith("https://"):
        missing.append("HOODWRIGHT_ADDRESS does not say at which https:// address it is reached")
    if missing:
        raise ListeningError(
            f"Hoodwright does not listen on {host}, which other machines can reach:"
            f" {'; '.join(missing)}."
        )
