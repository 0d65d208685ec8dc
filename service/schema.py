"""Bringing a database to the newest schema."""

from alembic import command
from alembic.config import Config
from sqlalchemy import Engine


def config() -> Config:
    """Return Alembic's settings; there is no ini file."""
    settings = Config()
    settings.set_main_option("script_location", "service:migrations")
    settings.set_main_option("path_separator", "os")
    return settings


def upgrade(engine: Engine, revision: str = "head") -> None:
    """Create or migrate all tables."""
    settings = config()
    with engine.connect() as connection:
        settings.attributes["connection"] = connection
        command.upgrade(settings, revision)
        connection.commit()
