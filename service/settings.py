"""Settings from the environment, read once where the application is put together."""

from pathlib import Path

from pydantic_settings import BaseSettings, SettingsConfigDict


class Settings(BaseSettings):
    """Where the data lies.

    Attributes:
        data: the data folder; the embedded database lies in it.
        database_url: another database, as a SQLAlchemy URL; empty for the embedded one.
    """

    model_config = SettingsConfigDict(env_prefix="HOODWRIGHT_", frozen=True)

    data: Path = Path("data")
    database_url: str = ""

    def url(self) -> str:
        """Return the database's URL; the embedded one is a file in the data folder."""
        return self.database_url or f"sqlite:///{(self.data / 'hoodwright.sqlite').as_posix()}"
