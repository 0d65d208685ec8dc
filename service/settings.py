"""Settings from the environment, read once where the application is put together."""

from dataclasses import dataclass, field
from enum import StrEnum
from ipaddress import ip_address, ip_network
from pathlib import Path
from typing import Annotated, Any, Final, Self

from pydantic import AfterValidator, Field, SecretStr, model_validator
from pydantic_settings import BaseSettings, SettingsConfigDict

MAIL_FOLDER: Final = "mail"
FROM_FILES: Final = ("database_url", "form_key", "metrics_token")
"""Settings that a file may hold instead: its first line is the value. (The mail password, too.)"""


class Security(StrEnum):
    """How the way to the mail server is kept from strangers' eyes."""

    NONE = "none"
    STARTTLS = "starttls"
    TLS = "tls"


# RFC 5321 (relay), RFC 6409 (submission), RFC 8314 (submission over TLS).
PORTS: Final = {Security.NONE: 25, Security.STARTTLS: 587, Security.TLS: 465}


@dataclass(frozen=True, slots=True)
class MailSettings:
    """How mail leaves.

    Attributes:
        folder: where mails are written as files as long as no host is named.
        host: the mail server; empty for none.
        security: how the connection to it is secured.
        sender: the address mails are from; empty for the shop's own.
        timeout: seconds to wait for each answer of the server.
        ca_file: certificates to trust besides the system's, as PEM; None for none.
        address: where the buyer's browser reaches Hoodwright, without a slash at the end;
            empty where it does not, and then no mail asks the buyer to confirm.
    """

    folder: Path = Path("data") / MAIL_FOLDER
    host: str = ""
    port: int = PORTS[Security.STARTTLS]
    security: Security = Security.STARTTLS
    user: str = ""
    password: str = field(default="", repr=False)
    sender: str = ""
    timeout: float = 30
    ca_file: Path | None = None
    address: str = ""


@dataclass(frozen=True, slots=True)
class ServingSettings:
    """How one of perhaps several servers runs.

    Attributes:
        form_key: signs forms given to strangers; the same for all servers of a shop, or one
            would not know the other's. Empty: a new one at each start.
        metrics_token: who shows it may read /metrics; empty for nobody.
        trace: where traces go, as the address of an OTLP collector over HTTP; empty for nowhere.
        drain: seconds between the sign to stop and the last request taken.
        migrates: whether the server brings the tables to its own revision before it serves.
    """

    form_key: str = field(default="", repr=False)
    metrics_token: str = field(default="", repr=False)
    trace: str = ""
    drain: float = 0
    migrates: bool = True


def first_line(path: Path) -> str:
    """Return the first line of a file that holds a secret."""
    return path.read_text(encoding="utf-8").partition("\n")[0].strip("\r")


def _is_this_machine(host: str) -> bool:
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _networks(text: str) -> str:
    """Return the addresses of proxies, with commas between; refuse what is none."""
    parts = [part.strip() for part in text.split(",") if part.strip()]
    for part in parts:
        try:
            ip_network(part)
        except ValueError:
            raise ValueError(f"“{part}” is no IP address, such as 127.0.0.1") from None
    return ",".join(parts)


class Settings(BaseSettings):
    """Where the data lies, how mail leaves, and how it is reached from outside.

    Attributes:
        data: the data folder; the embedded database lies in it.
        tls_proxy: the IP addresses of the proxy in front that ends TLS, with commas between;
            empty where there is none. Only what these say of the browser's address is believed.
        database_url: another database, as a SQLAlchemy URL; empty for the embedded one.
        address: see `MailSettings`; those that begin with `mail_` too.
        mail_password_file: a file whose first line is the password.
        form_key: see `ServingSettings`; those from here on too. `FROM_FILES` names the settings
            that have a twin ending in `_file`.
    """

    model_config = SettingsConfigDict(env_prefix="HOODWRIGHT_", frozen=True)

    data: Path = Path("data")
    database_url: str = ""
    database_url_file: Path | None = None
    address: Annotated[str, Field(pattern=r"^(https?://[^\s?#]+)?$")] = ""
    tls_proxy: Annotated[str, AfterValidator(_networks)] = ""
    mail_host: Annotated[str, Field(pattern=r"^\S*$")] = ""
    mail_port: Annotated[int, Field(ge=1, le=65_535)] | None = None
    mail_security: Security = Security.STARTTLS
    mail_user: str = ""
    mail_password: SecretStr = SecretStr("")
    mail_password_file: Path | None = None
    mail_from: str = ""
    mail_timeout: Annotated[float, Field(gt=0, le=300, allow_inf_nan=False)] = 30
    mail_ca_file: Path | None = None
    form_key: SecretStr = SecretStr("")
    form_key_file: Path | None = None
    metrics_token: SecretStr = SecretStr("")
    metrics_token_file: Path | None = None
    trace: Annotated[str, Field(pattern=r"^(https?://[^\s?#]+)?$")] = ""
    drain: Annotated[float, Field(ge=0, le=300, allow_inf_nan=False)] = 0
    migrate: bool = True

    @model_validator(mode="before")
    @classmethod
    def _from_files(cls, given: dict[str, Any]) -> dict[str, Any]:
        """Read the settings that are in files."""
        read = dict(given)
        for name in FROM_FILES:
            path, said = given.get(f"{name}_file"), f"HOODWRIGHT_{name.upper()}"
            if not path:
                continue
            if given.get(name):
                raise ValueError(f"{said} is set, and so is {said}_FILE: give one of them")
            try:
                read[name] = first_line(Path(path))
            except (OSError, UnicodeDecodeError) as error:
                raise ValueError(f"{said}_FILE cannot be read: {error}") from error
            if not read[name]:
                raise ValueError(f"{said}_FILE names a file whose first line is empty")
        return read

    @model_validator(mode="after")
    def _whole(self) -> Self:
        """Refuse settings that contradict one another, or that tell the password to all."""
        if self.mail_password.get_secret_value() and self.mail_password_file:
            raise ValueError("give the password either itself or in a file, not both")
        plain = self.mail_security is Security.NONE
        if self.mail_user and plain and not _is_this_machine(self.mail_host):
            raise ValueError("a password is not sent in the clear: choose starttls or tls")
        return self

    def url(self) -> str:
        """Return the database's URL; the embedded one is a file in the data folder."""
        return self.database_url or f"sqlite:///{(self.data / 'hoodwright.sqlite').as_posix()}"

    def backups(self) -> Path:
        """Return the folder of the daily copies of the embedded database."""
        return self.data / "backups"

    def log_file(self) -> Path:
        """Return the file of the log: a line for each request, nothing of anybody in it."""
        return self.data / "log" / "requests.jsonl"

    def own_files(self) -> list[Path]:
        """Return what is there of the shop's files and folders in the data folder."""
        folders = (self.backups(), self.log_file().parent, self.data / MAIL_FOLDER)
        return [*self.data.glob("hoodwright*.sqlite*"), *filter(Path.exists, folders)]

    def secure(self) -> bool:
        """Return whether browsers reach it over TLS."""
        return bool(self.tls_proxy) or self.address.startswith("https://")

    def _password(self) -> str:
        if self.mail_password_file is None:
            return self.mail_password.get_secret_value()
        return first_line(self.mail_password_file)

    def mail(self) -> MailSettings:
        """Return how mail leaves.

        Raises:
            OSError, UnicodeDecodeError: if the file of the password cannot be read.
        """
        return MailSettings(
            folder=self.data / MAIL_FOLDER,
            host=self.mail_host,
            port=self.mail_port or PORTS[self.mail_security],
            security=self.mail_security,
            user=self.mail_user,
            password=self._password(),
            sender=self.mail_from.strip(),
            timeout=self.mail_timeout,
            ca_file=self.mail_ca_file,
            address=self.address.rstrip("/"),
        )

    def serving(self) -> ServingSettings:
        """Return how the server runs."""
        return ServingSettings(
            form_key=self.form_key.get_secret_value(),
            metrics_token=self.metrics_token.get_secret_value(),
            trace=self.trace.rstrip("/"),
            drain=self.drain,
            migrates=self.migrate,
        )
