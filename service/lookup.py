"""Orders found by how the words of their buyer, dog, breed or number begin.

The words are rows of their own, so that the time does not hang on how many orders there are.
"""

import re
from collections.abc import Iterable
from typing import Any, Final
from unicodedata import normalize

from sqlalchemy import ColumnElement, bindparam, delete, insert, true
from sqlmodel import Session, col, select

from service.models import Order, OrderWord, table_of

LONGEST: Final = 60
"""Characters of a word that are kept."""
MOST: Final = 10
"""Words of a question that are looked at."""
_WORD: Final = re.compile(r"[^\W_]+")
_LAST: Final = "\U0010ffff"


def words_of(*texts: str) -> list[str]:
    """Return the words of some texts without case, each once."""
    plain = normalize("NFC", " ".join(texts)).casefold()
    return list(dict.fromkeys(word[:LONGEST] for word in _WORD.findall(plain)))


def word_rows(order_id: int | None, *texts: str) -> list[dict[str, Any]]:
    """Return the rows by which an order is found by the words of some texts."""
    return [{"order_id": order_id, "word": word} for word in words_of(*texts)]


_WORDS = table_of(OrderWord)
_FORGET: Final = delete(_WORDS).where(_WORDS.c.order_id == bindparam("order"))
_KEEP: Final = insert(_WORDS)


def forget_words(session: Session, order: Order) -> None:
    """Let an order be found by no word."""
    session.execute(_FORGET, {"order": order.id})


def first_words(session: Session, order: Order) -> None:
    """Keep by which words a new order is found."""
    texts = (order.number, order.buyer_name, order.dog_name, order.breed)
    session.execute(_KEEP, word_rows(order.id, *texts))


def keep_words(session: Session, order: Order) -> None:
    """Keep by which words an order is found, in place of those it was found by."""
    forget_words(session, order)
    first_words(session, order)


def _begins(word: str) -> ColumnElement[bool]:
    # Not EXISTS: SQLite would ask it of every order, the newest first, and seldom be answered.
    row = col(OrderWord.word)
    rows = select(OrderWord.order_id).where(row >= word, row < f"{word}{_LAST}")
    return col(Order.id).in_(rows)


def found_by(text: str) -> Iterable[ColumnElement[bool]]:
    """Return what an order must fulfil to be found by a text; nothing, if that is blank."""
    words = words_of(text)[:MOST]
    if text.strip() and not words:
        return [~true()]
    return [_begins(word) for word in words]
