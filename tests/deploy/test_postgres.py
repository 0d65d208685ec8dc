from pathlib import Path

import psycopg
import pytest

from deploy import postgres
from deploy.environment import SetupError
from deploy.postgres_server import last_line

GIVEN = "postgresql+psycopg://anna:s%20t@db:5433/real?sslmode=require"


@pytest.mark.parametrize("scheme", ["postgres", "postgresql", "postgresql+psycopg"])
def test_any_spelling_of_the_address_is_taken(scheme: str) -> None:
    assert postgres.libpq_url(f"{scheme}://u@h/d") == "postgresql://u@h/d"


@pytest.mark.parametrize("text", ["sqlite:///x.db", "host=db dbname=x", "xpostgresql://h/d"])
def test_what_is_no_postgresql_address_is_told(text: str) -> None:
    with pytest.raises(SetupError, match="HOODWRIGHT_TEST_POSTGRES must be an address like"):
        postgres.libpq_url(text)


@pytest.mark.parametrize(
    ("url", "other"),
    [
        (
            "postgresql://anna:s%20t@db:5433/real?sslmode=require",
            "postgresql://anna:s%20t@db:5433/new?sslmode=require",
        ),
        ("postgresql://p@/postgres?host=/tmp/x", "postgresql://p@/new?host=/tmp/x"),
        ("postgresql://p@h", "postgresql://p@h/new"),
    ],
)
def test_another_database_is_named_on_the_same_server(url: str, other: str) -> None:
    assert postgres.with_database(url, "new") == other


def test_a_server_named_by_hand_comes_first(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(postgres.VARIABLE, GIVEN)
    assert postgres.find("any") == GIVEN.replace("+psycopg", "")


def test_without_a_name_each_source_is_tried_in_turn(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.delenv(postgres.VARIABLE, raising=False)
    monkeypatch.setattr(postgres, "_from_wheel", lambda: tmp_path / "wheel")
    monkeypatch.setattr(postgres, "installed", lambda: tmp_path / "installed")
    monkeypatch.setattr(postgres, "_answers", lambda _: True)
    assert postgres.find("any") == postgres.LOCAL
    monkeypatch.setattr(postgres, "_answers", lambda _: False)
    assert postgres.find("any") == tmp_path / "installed"
    monkeypatch.setattr(postgres, "installed", lambda: None)
    assert postgres.find("any") == tmp_path / "wheel"
    with pytest.raises(SetupError, match="sudo apt-get install postgresql"):
        postgres.find("given")


def test_the_newest_installed_server_is_taken(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    for version in ("9.6", "15", "16"):
        programs = tmp_path / version / "bin"
        programs.mkdir(parents=True)
        (programs / "initdb").touch()
    monkeypatch.setattr(postgres, "DEBIAN", tmp_path)
    monkeypatch.delenv(postgres.VARIABLE, raising=False)
    assert postgres.find("installed") == tmp_path / "16" / "bin"


def test_a_server_that_cannot_be_reached_is_told_in_one_line(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv(postgres.VARIABLE, f"postgresql://p@/d?host={tmp_path}")
    with (
        pytest.raises(SetupError, match="no test database could be made") as caught,
        postgres.scratch_database("given"),
    ):
        pytest.fail("there is no server")
    assert "\n" not in str(caught.value)


def test_each_run_has_a_database_of_its_own_that_goes_with_it(
    postgres_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(postgres.VARIABLE, postgres_url)
    with (
        postgres.scratch_database("given") as one,
        postgres.scratch_database("given") as two,
        psycopg.connect(one) as left_open,
    ):
        assert len({one, two, postgres.libpq_url(postgres_url)}) == 3
        assert left_open.execute("SELECT count(*) FROM pg_stat_user_tables").fetchone() == (0,)
    with pytest.raises(psycopg.OperationalError, match="does not exist"):
        psycopg.connect(one)


def test_the_last_line_of_a_log_is_told(tmp_path: Path) -> None:
    log = tmp_path / "log"
    log.write_text("one\ntwo\n\n", encoding="utf-8")
    assert last_line(log) == "two"
    log.write_text("", encoding="utf-8")
    assert last_line(log) == "it said nothing"
