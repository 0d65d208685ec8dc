"""Run by Alembic: migrate over the connection that `service.schema` opened."""

from alembic import context
from sqlmodel import SQLModel

import service.models  # noqa: F401 - fills the metadata

connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=SQLModel.metadata,
    render_as_batch=connection.dialect.name == "sqlite",
)
with context.begin_transaction():
    context.run_migrations()
