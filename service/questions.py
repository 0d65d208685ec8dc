"""Questions to the database, noted, and whether it still answers them as it did.

What is worked out from nothing but the answers to some questions is the same as long as the
answers are. To ask them again, without making objects of what comes, takes a fraction of the work.
"""

from collections.abc import Generator, Sequence
from contextlib import contextmanager
from hashlib import sha256
from typing import Any

from sqlalchemy import Connection, event

Question = tuple[str, Any]
"""A statement and its parameters, as the driver gets them."""


@contextmanager
def noting(connection: Connection) -> Generator[list[Question]]:
    """Yield a list that grows by each question that a connection is asked meanwhile."""
    asked: list[Question] = []

    def note(_on: object, _cursor: object, statement: str, given: Any, *_rest: object) -> None:  # noqa: ANN401 - as the driver takes them
        asked.append((statement, given))

    event.listen(connection, "before_cursor_execute", note)
    try:
        yield asked
    finally:
        event.remove(connection, "before_cursor_execute", note)


def _answer(connection: Connection, question: Question) -> bytes:
    # In writing, for there 1 is not 1.0, and neither is true; a row's own writing leaves out the
    # middle of a long text.
    rows = [tuple(row) for row in connection.exec_driver_sql(*question)]
    return sha256(repr(rows).encode()).digest()


def answers_to(connection: Connection, asked: Sequence[Question]) -> tuple[bytes, ...]:
    """Return a digest of the answer to each of some questions."""
    return tuple(_answer(connection, one) for one in asked)


def still(connection: Connection, asked: Sequence[Question], answered: Sequence[bytes]) -> bool:
    """Return whether the questions have the answers that they had."""
    pairs = zip(asked, answered, strict=True)
    return all(_answer(connection, one) == before for one, before in pairs)
