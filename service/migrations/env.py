"""Run by Alembic: migrate over the connection that `service.schema` opened."""

from alembic import context
from sqlmodel import SQLModel

import service.models  # noqa: F401 - fills the metadata


def ours(name: str | None, kind: str, _parents: object) -> bool:
    """Return whether a thing of the database is ours: procrastinate keeps its own tables."""
    return not (kind == "table" and (name or "").startswith("procrastinate_"))


connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=SQLModel.metadata,
    include_name=ours,
    render_as_batch=connection.dialect.name == "sqlite",
)
with context.begin_transaction():
    context.run_migrations()
