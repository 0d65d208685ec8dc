"""The tables of the shop, and the values of their columns as texts and back."""

import json
from base64 import b64decode, b64encode
from binascii import Error as NotBase64
from collections.abc import Callable
from datetime import date, datetime
from typing import Any, Final

from sqlalchemy import JSON, Boolean, Column, Date, Float, Integer, LargeBinary, Table
from sqlmodel import SQLModel

from service.formulas import MARK, plain_cell, text_of_cell
from service.models import UtcDateTime

FORMAT: Final = 1
"""Of the files; raised when an older reader would misread them."""
LEFT_OUT: Final[dict[str, str]] = {
    "brought_file": "files on their way in",
    "errand": "long work of a day, such as tickets printed together",
    "account": "who may come in, with digests of passwords",
    "sign_in": "who is in just now",
    "sign_in_code": "links by which a password is chosen",
    "access_key": "keys of programs, as digests",
    "second_step": "keys of the second step at sign-in",
    "recovery_code": "codes for a second step that was lost, as digests",
    "door_event": "what was changed of how somebody comes in",
}
"""Tables that stay, and what is in them."""
_EMPTY: Final = MARK
"""A cell whose text is empty, in a column where there may be no text at all."""


class CellError(ValueError):
    """A value that its column cannot hold; the sentence names both."""


def tables() -> list[Table]:
    """Return the tables that go out, each after those that it refers to."""
    # The models have registered themselves there by being imported.
    return [one for one in SQLModel.metadata.sorted_tables if one.name not in LEFT_OUT]


def plain_value(column: Column[Any], value: Any) -> Any:  # noqa: ANN401 - any value of a database
    """Return a value as JSON has it."""
    if value is None:
        return None
    if isinstance(column.type, LargeBinary):
        return b64encode(value).decode()
    if isinstance(value, (date, datetime)):
        return value.isoformat()
    return value


def _bool(value: Any) -> bool:  # noqa: ANN401 - as above
    if not isinstance(value, bool):
        raise TypeError(value)
    return value


def _int(value: Any) -> int:  # noqa: ANN401 - as above
    if isinstance(value, bool) or not isinstance(value, int):
        raise TypeError(value)
    return value


def _float(value: Any) -> float:  # noqa: ANN401 - as above
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise TypeError(value)
    return float(value)


def _text(value: Any) -> str:  # noqa: ANN401 - as above
    if not isinstance(value, str) or "\0" in value:
        raise TypeError(value)
    return value


def _bytes(value: Any) -> bytes:  # noqa: ANN401 - as above
    return b64decode(_text(value), validate=True)


_READERS: Final[tuple[tuple[type[Any], Callable[[Any], Any]], ...]] = (
    (UtcDateTime, lambda value: datetime.fromisoformat(_text(value))),
    (JSON, lambda value: value),
    (LargeBinary, _bytes),
    (Boolean, _bool),
    (Integer, _int),
    (Float, _float),
    (Date, lambda value: date.fromisoformat(_text(value))),
)


def value_of(column: Column[Any], plain: Any) -> Any:  # noqa: ANN401 - as above
    """Return a column's value out of JSON.

    Raises:
        CellError: if the column cannot hold it.
    """
    if plain is None and (column.nullable or isinstance(column.type, JSON)):
        return None
    read = next((read for kind, read in _READERS if isinstance(column.type, kind)), _text)
    try:
        value = read(plain)
    except (TypeError, ValueError, NotBase64) as error:
        shown = json.dumps(plain)[:60]
        said = f"“{column.name}” of “{column.table.name}” cannot be {shown}"
        raise CellError(said) from error
    longest = getattr(column.type, "length", None)
    if longest and isinstance(value, str) and len(value) > longest:
        said = f"“{column.name}” of “{column.table.name}” is longer than {longest} characters"
        raise CellError(said)
    return value


def cell_of(column: Column[Any], value: Any) -> str:  # noqa: ANN401 - as above
    """Return a value as the cell of a CSV file, where it can be no formula."""
    plain = plain_value(column, value)
    if isinstance(column.type, JSON):
        return plain_cell(json.dumps(plain, ensure_ascii=False, separators=(",", ":")))
    if plain is None:
        return ""
    if isinstance(plain, str):
        return plain_cell(plain) or (_EMPTY if column.nullable else "")
    return plain_cell(json.dumps(plain))


def value_of_cell(column: Column[Any], cell: str) -> Any:  # noqa: ANN401 - as above
    """Return a column's value out of a cell.

    Raises:
        CellError: if the column cannot hold it.
    """
    if cell == "" and column.nullable and not isinstance(column.type, JSON):
        return None
    text = "" if cell == _EMPTY else text_of_cell(cell)
    if isinstance(column.type, (JSON, Boolean, Integer, Float)):
        try:
            return value_of(column, json.loads(text))
        except (json.JSONDecodeError, RecursionError) as error:
            said = f"“{column.name}” of “{column.table.name}” cannot be “{text[:60]}”"
            raise CellError(said) from error
    return value_of(column, text)
