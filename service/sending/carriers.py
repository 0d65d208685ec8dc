"""Carriers: a mail server, or files for the maker's own mail program."""

import smtplib
import ssl
from collections.abc import Generator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from socket import SHUT_RDWR
from tempfile import NamedTemporaryFile
from threading import Timer
from typing import Final

from service.given import DeliveryState
from service.sending.addresses import plain
from service.sending.message import Parcel
from service.settings import MailSettings, Security

PATIENCE: Final = 4
"""A whole exchange may take this many times the wait for one answer."""
LONGEST_REASON: Final = 400
NO_UTF8: Final = (
    "The mail server does not take addresses with letters beyond a to z. Ask the buyer for"
    " another address."
)


class NotCarriedError(Exception):
    """A mail that was not taken.

    Attributes:
        again: whether it may go better later.
    """

    def __init__(self, message: str, *, again: bool) -> None:
        """Keep the reason, as one line."""
        super().__init__(plain(message, LONGEST_REASON))
        self.again = again


@dataclass(frozen=True, slots=True)
class Carried:
    """Where a mail went: the state that it is in then, and how, for the maker to read."""

    state: DeliveryState
    how: str


def _coded(code: int, said: bytes | str) -> NotCarriedError:
    text = said.decode("utf-8", "replace") if isinstance(said, bytes) else said
    # RFC 5321 4.2.1: what begins with 5 will fail again as it stands, 4 may pass later.
    return NotCarriedError(f"The mail server answered {code}: {text}", again=code < 500)  # noqa: PLR2004


_SAID: Final[tuple[tuple[type[Exception], str, bool], ...]] = (
    (smtplib.SMTPNotSupportedError, "The mail server cannot do what is needed: {}", False),
    (TimeoutError, "The mail server did not answer in time.", True),
    (ssl.SSLCertVerificationError, "The mail server's certificate cannot be trusted: {}", True),
    (smtplib.SMTPServerDisconnected, "The mail server hung up.", True),
    (OSError, "The mail server cannot be reached: {}", True),
)
"""What went wrong, how it is said, and whether it may go better later; the first counts."""


def _reason(error: Exception) -> NotCarriedError:
    """Return why a mail was not taken, from what the mail client raised."""
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        return _coded(*next(iter(error.recipients.values())))
    if isinstance(error, smtplib.SMTPResponseException):
        return _coded(error.smtp_code, error.smtp_error)
    if isinstance(error.__context__, TimeoutError):  # the client calls that a hang-up
        error = error.__context__
    said, again = next((said, again) for kind, said, again in _SAID if isinstance(error, kind))
    return NotCarriedError(said.format(error), again=again)


@contextmanager
def _within(server: smtplib.SMTP, seconds: float) -> Generator[None]:
    """Hang up on a server that answers a little at a time, for ever."""

    def hang_up() -> None:
        with suppress(OSError, AttributeError):
            server.sock.shutdown(SHUT_RDWR)  # type: ignore[union-attr]  # None is suppressed

    timer = Timer(seconds, hang_up)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()


def _connected(mail: MailSettings) -> smtplib.SMTP:
    context = ssl.create_default_context()
    if mail.ca_file:
        context.load_verify_locations(mail.ca_file)
    if mail.security is Security.TLS:
        return smtplib.SMTP_SSL(mail.host, mail.port, timeout=mail.timeout, context=context)
    server = smtplib.SMTP(mail.host, mail.port, timeout=mail.timeout)
    if mail.security is Security.STARTTLS:
        try:
            with _within(server, mail.timeout * PATIENCE):
                server.starttls(context=context)
        except BaseException:
            server.close()
            raise
    return server


def _hand_over(server: smtplib.SMTP, mail: MailSettings, parcel: Parcel) -> None:
    server.ehlo_or_helo_if_needed()
    if mail.user:
        server.login(mail.user, mail.password)
    if parcel.utf8 and not server.has_extn("smtputf8"):
        raise NotCarriedError(NO_UTF8, again=False)
    options = ("SMTPUTF8", "BODY=8BITMIME") if parcel.utf8 else ()
    server.sendmail(parcel.sender, [parcel.to], parcel.bytes(), options)


def _over_smtp(mail: MailSettings, parcel: Parcel) -> Carried:
    server = _connected(mail)
    try:
        with _within(server, mail.timeout * PATIENCE):
            _hand_over(server, mail, parcel)
            with suppress(OSError):  # taken is taken, however the server says goodbye
                server.quit()
    finally:
        server.close()
    return Carried(DeliveryState.SENT, f"through {mail.host}")


def _as_file(mail: MailSettings, parcel: Parcel, name: str) -> Carried:
    """Write a mail into the folder, whole or not at all."""
    mail.folder.mkdir(parents=True, exist_ok=True)
    path = mail.folder / name
    with NamedTemporaryFile(dir=mail.folder, prefix=".", delete=False) as file:
        file.write(parcel.bytes(draft=True))
    Path(file.name).replace(path)
    return Carried(DeliveryState.WRITTEN, f"in {path}")


def carry(mail: MailSettings, parcel: Parcel, name: str) -> Carried:
    """Carry a mail off, or write it to a file of a name where no mail server is set.

    Raises:
        NotCarriedError: with the reason, and whether to try again.
    """
    if not mail.host:
        try:
            return _as_file(mail, parcel, name)
        except OSError as error:
            raise NotCarriedError(f"The mail cannot be written: {error}", again=True) from error
    try:
        return _over_smtp(mail, parcel)
    except OSError as error:  # all that the mail client raises is one
        raise _reason(error) from error
    except (UnicodeError, ValueError) as error:
        raise NotCarriedError(
            f"The mail server cannot be spoken to: {error}", again=False
        ) from error
