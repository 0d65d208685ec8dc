"""How mail leaves is read from the environment; what contradicts itself is refused by name."""

import json
import os
import subprocess
import sys
from pathlib import Path
from urllib.request import Request, urlopen

import pytest
from pydantic import ValidationError

from service.console import main
from service.settings import MailSettings, Security, Settings
from tests.entering import BEARER
from tests.service.api import Json, order_body
from tests.service.sending.postoffice import HOST, PostOffice
from tests.service.sending.test_worker import until
from tests.service.test_command import fetched, free_port, served


@pytest.fixture(autouse=True)
def clean(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in list(os.environ):
        if name.startswith("HOODWRIGHT_") and "TEST" not in name:
            monkeypatch.delenv(name)


def mail(monkeypatch: pytest.MonkeyPatch, **named: str) -> MailSettings:
    for name, text in named.items():
        monkeypatch.setenv(f"HOODWRIGHT_{name}", text)
    return Settings().mail()


def test_nothing_set_means_files_in_the_data_folder() -> None:
    assert Settings().mail() == MailSettings(folder=Path("data/mail"), port=587)


@pytest.mark.parametrize(
    ("security", "port"), [("none", 25), ("starttls", 587), ("tls", 465)]
)  # RFC 5321, RFC 6409, RFC 8314
def test_the_port_follows_the_security(
    monkeypatch: pytest.MonkeyPatch, security: str, port: int
) -> None:
    assert mail(monkeypatch, MAIL_SECURITY=security).port == port
    assert mail(monkeypatch, MAIL_PORT="2525").port == 2525


def test_all_of_them(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    secret = tmp_path / "password"
    secret.write_text("four plies\r\nsecond line\n")
    read = mail(
        monkeypatch,
        MAIL_HOST="mail.example", MAIL_SECURITY="tls", MAIL_USER="odile",
        MAIL_PASSWORD_FILE=str(secret), MAIL_FROM=" hoods@example.org ", MAIL_TIMEOUT="7",
        ADDRESS="https://hoods.example/", DATA=str(tmp_path),
    )  # fmt: skip

    assert read == MailSettings(
        folder=tmp_path / "mail", host="mail.example", port=465, security=Security.TLS,
        user="odile", password="four plies",  # noqa: S106 - an invented one
        sender="hoods@example.org", timeout=7, address="https://hoods.example",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("named", "said"),
    [
        ({"MAIL_PORT": "0"}, "HOODWRIGHT_MAIL_PORT"),
        ({"MAIL_PORT": "smtp"}, "HOODWRIGHT_MAIL_PORT"),
        ({"MAIL_SECURITY": "some"}, "HOODWRIGHT_MAIL_SECURITY"),
        ({"MAIL_TIMEOUT": "0"}, "HOODWRIGHT_MAIL_TIMEOUT"),
        ({"MAIL_TIMEOUT": "nan"}, "HOODWRIGHT_MAIL_TIMEOUT"),
        ({"MAIL_HOST": "mail example"}, "HOODWRIGHT_MAIL_HOST"),
        ({"ADDRESS": "hoods.example"}, "HOODWRIGHT_ADDRESS"),
        ({"MAIL_HOST": "mail.example", "MAIL_SECURITY": "none", "MAIL_USER": "o"}, "in the clear"),
        ({"MAIL_PASSWORD": "a", "MAIL_PASSWORD_FILE": "/b"}, "not both"),
        ({"MAIL_PASSWORD_FILE": "/nowhere/at/all"}, "password cannot be read"),
    ],
)
def test_what_cannot_be_used_is_named_and_nothing_starts(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], named: dict[str, str],
    said: str, tmp_path: Path,
) -> None:  # fmt: skip
    with pytest.raises((ValidationError, OSError)):
        mail(monkeypatch, **named)
    assert main(["serve", "--port", str(free_port()), "--data", str(tmp_path / "d")]) == 1

    assert said in capsys.readouterr().err
    assert not (tmp_path / "d").exists()


def test_a_password_for_a_server_on_this_machine_may_go_in_the_clear(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for host in ("localhost", "127.0.0.1", "::1"):
        assert mail(monkeypatch, MAIL_HOST=host, MAIL_SECURITY="none", MAIL_USER="o").user == "o"


def call(
    port: int, path: str, body: Json | None = None, method: str = "POST", tag: str = ""
) -> Json:
    """Speak to a server of another process."""
    asked = Request(
        f"http://127.0.0.1:{port}/api/v1{path}",
        data=json.dumps(body).encode() if body is not None else b"",
        headers={"Content-Type": "application/json", "If-Match": tag, **BEARER},
        method=method,
    )
    with urlopen(asked, timeout=30) as answer:  # noqa: S310 - our own server
        found: Json = json.load(answer)
        return found


def sent_by(port: int) -> str:
    """Take an order, send its care sheet; return the path of its deliveries."""
    call(port, "/shop", {"email": "wrack@hoods.example"}, "PUT", '"0"')
    path = f"/orders/{call(port, '/orders', order_body())['number']}/deliveries"
    call(port, path, {"kind": "care"})
    return path


def test_a_server_as_it_is_started_sends_through_the_mail_server(
    tmp_path: Path, office: PostOffice
) -> None:
    named = {
        "HOODWRIGHT_MAIL_HOST": HOST,
        "HOODWRIGHT_MAIL_PORT": str(office.port),
        "HOODWRIGHT_MAIL_SECURITY": "none",
    }
    with served(tmp_path / "data", **named) as (process, port):
        path = sent_by(port)
        until(lambda: json.loads(fetched(port, f"/api/v1{path}", process))["care_sheet"] == "sent")

    assert len(office.mails) == 1


def test_a_server_as_it_is_started_without_settings_writes_a_file(tmp_path: Path) -> None:
    folder = tmp_path / "data" / "mail"
    with served(tmp_path / "data") as (_, port):
        sent_by(port)
        until(lambda: folder.exists() and any(folder.glob("*.eml")))


def test_the_command_tells_of_its_two_parts() -> None:
    told = subprocess.run(
        [sys.executable, "-m", "service.command", "--help"],
        capture_output=True, text=True, check=True, cwd=Path(__file__).parents[3],
    )  # fmt: skip

    assert "serve" in told.stdout
    assert "work" in told.stdout
