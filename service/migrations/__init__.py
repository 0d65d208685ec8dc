"""Alembic's revisions; `service.schema` runs them."""
