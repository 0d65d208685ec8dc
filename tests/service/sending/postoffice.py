"""A mail server that a test holds by its strings, and a certificate of its own."""

import socket
import ssl
from asyncio import WriteTransport
from collections.abc import Callable, Generator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from email import policy
from email.message import EmailMessage
from email.parser import BytesParser
from ipaddress import ip_address
from pathlib import Path
from typing import Any

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, AuthResult, Envelope, LoginPassword, Session
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

USER, PASSWORD = "odile", "four plies"
HOST = "127.0.0.1"


def parsed(content: bytes) -> EmailMessage:
    """A mail as any program would read it."""
    message = BytesParser(policy=policy.default).parsebytes(content)
    assert isinstance(message, EmailMessage)
    return message


@dataclass
class PostOffice:
    """What the server was told, and what it will answer.

    Attributes:
        answers: what the next mails are answered after DATA; when none is left, they are taken.
        refuse: what recipients are answered, or nothing.
        dropping: whether the line is cut after DATA, before any answer.
        on_quit: called when a client says goodbye.
        on_recipient: called when it names a recipient.
    """

    port: int
    answers: list[str] = field(default_factory=list)
    refuse: str = ""
    dropping: bool = False
    on_quit: Callable[[], None] | None = None
    on_recipient: Callable[[], None] | None = None
    envelopes: list[Envelope] = field(default_factory=list)
    secured: list[bool] = field(default_factory=list)

    async def handle_RCPT(  # noqa: N802 - the server calls it so
        self, _: SMTP, __: Session, envelope: Envelope, address: str, ___: list[str]
    ) -> str:
        if self.on_recipient:
            self.on_recipient()
        if self.refuse:
            return self.refuse
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(  # noqa: N802 - the server calls it so
        self, server: SMTP, session: Session, envelope: Envelope
    ) -> str:
        self.envelopes.append(envelope)
        self.secured.append(session.ssl is not None)
        if self.dropping:
            assert isinstance(server.transport, WriteTransport)
            server.transport.abort()
            return "250 nobody hears this"
        return self.answers.pop(0) if self.answers else "250 OK"

    async def handle_QUIT(  # noqa: N802 - the server calls it so
        self, _: SMTP, __: Session, ___: Envelope
    ) -> str:
        if self.on_quit:
            self.on_quit()
        return "221 Bye"

    @property
    def mails(self) -> list[EmailMessage]:
        """All that came, as read."""
        return [parsed(self.raw(place)) for place in range(len(self.envelopes))]

    def raw(self, place: int) -> bytes:
        """A mail as it came over the wire."""
        content = self.envelopes[place].original_content
        assert content is not None
        return content


def certificate(folder: Path) -> tuple[Path, ssl.SSLContext]:
    """A self-made certificate for this machine, and a server's context with it."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "post office of a test")])
    now = datetime.now(UTC)
    names = x509.SubjectAlternativeName(
        [x509.DNSName("localhost"), x509.IPAddress(ip_address(HOST))]
    )
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=2))
        .add_extension(names, critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    public, private = folder / "cert.pem", folder / "key.pem"
    public.write_bytes(made.public_bytes(serialization.Encoding.PEM))
    private.write_bytes(
        key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
    )
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(public, private)
    return public, context


def _authenticate(
    _server: SMTP, _session: Session, _envelope: Envelope, mechanism: str, data: object
) -> AuthResult:
    assert mechanism in {"LOGIN", "PLAIN"}
    assert isinstance(data, LoginPassword)
    known = (data.login, data.password) == (USER.encode(), PASSWORD.encode())
    return AuthResult(success=known, handled=False)


def secured(context: ssl.SSLContext) -> dict[str, Any]:
    """What makes a server one that asks for STARTTLS and a password."""
    return {
        "tls_context": context,
        "require_starttls": True,
        "auth_required": True,
        "authenticator": _authenticate,
    }


@contextmanager
def opened(**options: Any) -> Generator[PostOffice]:  # noqa: ANN401 - whatever the server takes
    """A mail server on a free port, until the block ends."""
    with socket.socket() as probe:
        probe.bind((HOST, 0))
        office = PostOffice(port=probe.getsockname()[1])
    controller = Controller(office, hostname=HOST, port=office.port, **options)
    controller.start()
    try:
        yield office
    finally:
        controller.stop()
