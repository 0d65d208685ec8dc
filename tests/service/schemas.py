"""A schema of its own on a PostgreSQL server, so that tests do not meet in one."""

from collections.abc import Generator
from contextlib import contextmanager

from sqlalchemy import create_engine, make_url, text


@contextmanager
def in_schema(url: str, name: str) -> Generator[str]:
    """Yield the address of an empty schema; drop it with all it holds at the end."""
    engine = create_engine(url)
    with engine.begin() as connection:
        connection.execute(text(f"DROP SCHEMA IF EXISTS {name} CASCADE"))
        connection.execute(text(f"CREATE SCHEMA {name}"))
    inside = make_url(url).update_query_dict({"options": f"-csearch_path={name}"})
    yield inside.render_as_string(hide_password=False)
    with engine.begin() as connection:
        connection.execute(text(f"DROP SCHEMA {name} CASCADE"))
    engine.dispose()
