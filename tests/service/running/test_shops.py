"""Many shops on one database server: each in a schema of its own, which the others do not see."""

import json
import os
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path
from urllib.request import urlopen

import psycopg
import pytest
from sqlalchemy import create_engine, make_url, text

from deploy.postgres import libpq_url, new_database, with_database
from service.console import main
from service.db import open_database
from service.doors.accounts import knock
from service.doors.passwords import Hasher
from service.keeping.faults import KeepingError
from service.keeping.shops import address_of_shop
from service.orders import utc_now
from service.owner.stamps import is_fair, stamp
from service.sending.queue import work
from service.settings import ServingSettings
from service.web.application import create_app
from tests.service.sending.conftest import to_server
from tests.service.sending.postoffice import PostOffice
from tests.service.sending.test_settings import sent_by
from tests.service.test_command import served

NAMES = ("fenwright", "marrow_field")


@pytest.fixture
def server(postgres_url: str, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """A database of its own that the commands are told of, by a file."""
    for name in list(os.environ):
        if name.startswith("HOODWRIGHT_") and "TEST" not in name:
            monkeypatch.delenv(name)
    with new_database(libpq_url(postgres_url)) as url:
        monkeypatch.setenv("HOODWRIGHT_DATABASE_URL", url)
        yield url


def count(url: str, shop: str, table: str) -> int:
    engine = create_engine(make_url(url).set(drivername="postgresql+psycopg"))
    with engine.connect() as connection:
        found = connection.execute(text(f"SELECT count(*) FROM {shop}.{table}"))  # noqa: S608
        number: int = found.scalar_one()
    engine.dispose()
    return number


def worked(url: str, office: PostOffice) -> int:
    """Let a shop's worker do all there is to do; return how many mails have come by then."""
    database = open_database(url)
    with ThreadPoolExecutor(1) as pool:  # a worker runs a loop of its own
        pool.submit(work, database, to_server(office.port), utc_now, wait=False).result()
    database.close()
    return len(office.mails)


def test_two_shops_are_served_and_sent_for_apart(
    server: str, office: PostOffice, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, other = (address_of_shop(server, name) for name in NAMES)
    assert [main(["new-shop", name]) for name in NAMES] == [0, 0]
    told = capsys.readouterr().out
    with served(tmp_path / "data", HOODWRIGHT_DATABASE_URL=one) as (_, port):
        path = sent_by(port)
        with urlopen(f"http://127.0.0.1:{port}/readyz", timeout=20) as answer:
            assert json.load(answer)["ready"]
    came = [worked(url, office) for url in (other, one)]

    assert all(f"search_path%3D{name}" in told for name in NAMES)
    assert path.endswith("/deliveries")
    assert came == [0, 1]
    assert [count(server, name, "hood_order") for name in NAMES] == [1, 0]
    assert [count(server, name, "delivery") for name in NAMES] == [1, 0]


def test_a_shop_is_made_once_and_under_a_plain_name(
    server: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert main(["new-shop", "wrack"]) == 0
    assert main(["new-shop", "wrack"]) == 4
    assert "already" in capsys.readouterr().err
    for name in ("Wrack", "public", "pg_wrack", 'a"b', "a;b", "", "a" * 41, "before_restore_a"):
        with pytest.raises(KeepingError, match="cannot be a shop's name"):
            address_of_shop(server, name)
    monkeypatch.setenv("HOODWRIGHT_DATABASE_URL", address_of_shop(server, "wrack"))
    assert main(["new-shop", "second"]) == 1
    assert "options=" in capsys.readouterr().err
    assert main(["migrate"]) == 0


def test_a_data_folder_is_a_shop_too(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.delenv("HOODWRIGHT_DATABASE_URL", raising=False)
    assert main(["new-shop", "wrack"]) == 1
    assert "--data" in capsys.readouterr().err
    assert main(["migrate", "--data", str(tmp_path / "wrack")]) == 0
    assert (tmp_path / "wrack" / "hoodwright.sqlite").exists()


def test_the_address_of_the_database_may_be_in_a_file(
    server: str,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    held = tmp_path / "address"
    held.write_text(f"{address_of_shop(server, 'filed')}\n")
    assert main(["new-shop", "filed"]) == 0
    monkeypatch.setenv("HOODWRIGHT_DATABASE_URL_FILE", str(held))
    assert main(["migrate"]) == 1
    assert "give one of them" in capsys.readouterr().err
    monkeypatch.delenv("HOODWRIGHT_DATABASE_URL")
    assert main(["migrate"]) == 0
    held.write_text("\n")
    assert main(["migrate"]) == 1
    assert "first line is empty" in capsys.readouterr().err
    monkeypatch.setenv("HOODWRIGHT_DATABASE_URL_FILE", str(tmp_path / "none"))
    assert main(["migrate"]) == 1
    assert "cannot be read" in capsys.readouterr().err


def test_servers_with_one_key_know_each_others_forms(tmp_path: Path) -> None:
    given = datetime(2026, 3, 14, tzinfo=UTC)
    database = open_database(f"sqlite:///{tmp_path / 'forms.sqlite'}")
    keyed = ServingSettings(form_key="a key that all servers of the shop share")
    one, other = (create_app(database, serving=keyed).state.door.key for _ in range(2))
    alone = create_app(database).state.door.key
    form = stamp(one, given)
    database.close()

    assert is_fair(other, form, given + timedelta(minutes=1))
    assert not is_fair(alone, form, given + timedelta(minutes=1))


def test_the_first_account_is_made_from_a_file_where_no_link_can_be_opened(
    server: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    held = tmp_path / "first"
    make = ["first-account", "Tilda", "--password-file", str(held)]
    assert main(make) == 1
    held.write_text("short\n")
    assert main(make) == 1
    held.write_text("seven knitted plovers at noon\n")
    assert main(make) == 0
    assert "Tilda can sign in" in capsys.readouterr().out
    assert main(make) == 4

    database = open_database(server)
    with database.reading() as session:
        assert knock(session, "tilda", "seven knitted plovers at noon", Hasher()) is not None
        assert knock(session, "tilda", "short", Hasher()) is None
    database.close()


@pytest.mark.parametrize("encoding", ["SQL_ASCII", "LATIN1"])
def test_a_database_that_does_not_keep_every_letter_is_refused(
    postgres_url: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    encoding: str,
) -> None:
    server, name = libpq_url(postgres_url), f"hoodwright_letters_{encoding.lower()}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"DROP DATABASE IF EXISTS {name}")
        plain = "TEMPLATE template0 LC_COLLATE 'C' LC_CTYPE 'C'"
        connection.execute(f"CREATE DATABASE {name} ENCODING '{encoding}' {plain}")
        try:
            monkeypatch.setenv("HOODWRIGHT_DATABASE_URL", with_database(server, name))
            for command in (
                ["migrate"],
                ["serve", "--port", "9"],
                ["work"],
                ["new-shop", "wrack"],
            ):
                assert main(command) == 1
                said = capsys.readouterr().err
                assert said.startswith("The database that HOODWRIGHT_DATABASE_URL names keeps")
                assert f"as {encoding}" in said
                assert "ENCODING 'UTF8'" in said
        finally:
            connection.execute(f"DROP DATABASE {name} WITH (FORCE)")
