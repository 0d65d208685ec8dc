"""Settings and database as the commands need them."""

from collections.abc import Generator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path

from pydantic import ValidationError
from sqlalchemy.exc import SQLAlchemyError

from service.db import Database, open_database
from service.keeping.check import refuse_damaged
from service.keeping.faults import KeepingError
from service.keeping.private import shut
from service.schema import upgrade
from service.settings import MailSettings, Settings
from service.troubles import TroubleError


class SettingsError(Exception):
    """A setting that cannot be used; the sentence names it."""


def make_queue(database: Database) -> None:
    """Make the queue of mails, which only a database server has."""
    if database.engine.dialect.name == "postgresql":
        # Here: it takes a while to load.
        from service.sending.queue import prepare  # noqa: PLC0415

        prepare(database.engine)


def settings_of(data: Path | None) -> tuple[Settings, MailSettings]:
    """Return the settings, with another data folder if one is given, and how mail leaves.

    Raises:
        SettingsError: naming the variable that is wrong.
    """
    try:
        settings = Settings(data=data) if data else Settings()
        _refuse_trace(settings)
        return settings, settings.mail()
    except ValidationError as error:
        first = error.errors()[0]
        name = "_".join(map(str, first["loc"])).upper()
        said = first["msg"].removeprefix("Value error, ")
        if said.startswith("HOODWRIGHT_"):
            raise SettingsError(f"{said}.") from error
        about = f"HOODWRIGHT_{name}" if name else "for mail"
        raise SettingsError(f"The setting {about} cannot be used: {said}.") from error
    except (OSError, UnicodeDecodeError) as error:
        raise SettingsError(f"The file of the mail password cannot be read: {error}.") from error


def _refuse_trace(settings: Settings) -> None:
    """Refuse to trace without the packages that do it, which only those who want it install."""
    if settings.trace and find_spec("opentelemetry.sdk") is None:
        message = (
            "HOODWRIGHT_TRACE is set, but the packages that trace are missing: install"
            " hoodwright[trace], or what deploy/requirements-trace.txt locks."
        )
        raise SettingsError(message)


@contextmanager
def traced(collector: str, database: Database) -> Generator[None]:
    """Send traces to a collector until the block ends; to none, none."""
    if not collector:
        yield
        return
    from service.traces import send_traces  # noqa: PLC0415 - only there where it is wanted

    provider = send_traces(collector, database.engine)
    try:
        yield
    finally:
        provider.shutdown()


def unusable(settings: Settings, error: Exception) -> str:
    """Return what to tell when the database cannot be made ready."""
    reason = str(error).partition("\n")[0]
    if settings.database_url:
        return f"The database that HOODWRIGHT_DATABASE_URL names cannot be used: {reason}"
    return f"The database in {settings.data} cannot be used. Choose another --data. ({reason})"


def ready(settings: Settings, *, migrate: bool = True) -> Database:
    """Return the shop's database, sound, and with the newest schema if it is to be brought to it.

    Raises:
        KeepingError: if it is damaged or newer than this version.
        OSError, SQLAlchemyError, MigratingError, TroubleError: if it cannot be opened.
    """
    shut(settings.own_files())
    refuse_damaged(settings.url())
    if not settings.database_url:
        settings.data.mkdir(parents=True, exist_ok=True)
    database = open_database(settings.url())
    try:
        if migrate:
            upgrade(database.engine)
            make_queue(database)
    except BaseException:
        database.close()
        raise
    return database


@contextmanager
def opened(data: Path | None) -> Generator[Database]:
    """Yield the shop's database, sound and with the newest schema.

    Raises:
        SettingsError, KeepingError: saying what to do.
    """
    settings, _ = settings_of(data)
    try:
        database = ready(settings)
    except (OSError, SQLAlchemyError, TroubleError) as error:
        raise KeepingError(unusable(settings, error)) from error
    try:
        yield database
    except (SQLAlchemyError, TroubleError) as error:
        raise KeepingError(unusable(settings, error)) from error
    finally:
        database.close()
