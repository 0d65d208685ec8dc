"""How many statements a piece of work sends to the database."""

from collections.abc import Generator
from contextlib import contextmanager

from sqlalchemy import event

from service.db import Database


@contextmanager
def counted(database: Database) -> Generator[list[str]]:
    """Yield a list that grows by each statement that is sent meanwhile."""
    sent: list[str] = []

    def note(_conn: object, _cursor: object, statement: str, *_rest: object) -> None:
        sent.append(statement)

    event.listen(database.engine, "before_cursor_execute", note)
    try:
        yield sent
    finally:
        event.remove(database.engine, "before_cursor_execute", note)
