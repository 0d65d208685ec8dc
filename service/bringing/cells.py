"""Cells read: numbers, days, words out of a list; what cannot be read is told by column."""

import re
from collections.abc import Iterable
from datetime import date
from difflib import get_close_matches
from enum import StrEnum
from typing import Any, Final, TypeVar

from service.wrongs import NOT_A_NUMBER

Choice = TypeVar("Choice", bound=StrEnum)

_NUMBER: Final = re.compile(r"-?[0-9]{1,12}(\.[0-9]{1,12})?")
_DAYS: Final = (
    re.compile(r"(?P<y>[0-9]{4})-(?P<m>[0-9]{1,2})-(?P<d>[0-9]{1,2})"),
    re.compile(r"(?P<d>[0-9]{1,2})\. ?(?P<m>[0-9]{1,2})\. ?(?P<y>[0-9]{4})"),
)
DAY_EXAMPLE: Final = "Write the day as year-month-day, such as 2026-03-14."
OLDEST, YOUNGEST = 1990, 2199


class Cells:
    """The cells of one line; what is wrong with any of them is gathered by column."""

    def __init__(self, cells: dict[str, str]) -> None:
        """Take the texts by column."""
        self.texts = cells
        self.wrong: dict[str, str] = {}

    def text(self, column: str) -> str:
        """Return what stands in a column, or nothing."""
        return self.texts.get(column, "")

    def any(self, columns: Iterable[str]) -> bool:
        """Return whether any of some columns is filled."""
        return any(name in self.texts for name in columns)

    def number(self, column: str) -> str | None:
        """Return a number as the bodies read it, or None; a comma may stand for the point."""
        text = self.text(column)
        if not text:
            return None
        plain = text.replace("\u00a0", "").replace(" ", "")
        if re.fullmatch(r"[0-9]+,[0-9]{3}", plain):
            self.wrong[column] = (
                f"“{text[:40]}” could mean thousands or decimals. Write 1200 or 1.2."
            )
            return None
        plain = plain.replace(",", ".")
        if not _NUMBER.fullmatch(plain):
            self.wrong[column] = f"“{text[:40]}” is no number. {NOT_A_NUMBER}"
            return None
        return plain

    def day(self, column: str) -> date | None:
        """Return a day, or None; with slashes nobody knows which is the month."""
        text = self.text(column)
        if not text:
            return None
        found = next((one for form in _DAYS if (one := form.fullmatch(text))), None)
        try:
            day = date(int(found["y"]), int(found["m"]), int(found["d"])) if found else None
        except ValueError:
            day = None
        if day is None:
            self.wrong[column] = f"“{text[:40]}” is no day. {DAY_EXAMPLE}"
            return None
        if not OLDEST <= day.year <= YOUNGEST:
            self.wrong[column] = f"The year {day.year} cannot be right. {DAY_EXAMPLE}"
            return None
        return day

    def word(self, column: str, kind: type[Choice]) -> Choice | None:
        """Return one of a list of words, or None."""
        return self._one(column, self.text(column), kind)

    def words(self, column: str, kind: type[Choice]) -> list[Choice]:
        """Return words of a list, each once, with / between them."""
        parts = [part.strip() for part in self.text(column).split("/") if part.strip()]
        found = [one for part in parts if (one := self._one(column, part, kind))]
        return list(dict.fromkeys(found))

    def _one(self, column: str, text: str, kind: type[Choice]) -> Choice | None:
        if not text:
            return None
        word = " ".join(text.casefold().split())
        known = [str(one) for one in kind]
        if word in known:
            return kind(word)
        near = get_close_matches(word, known, 1)
        guess = f" Is it “{near[0]}”?" if near else ""
        self.wrong[column] = f"“{text[:40]}” is none of: {', '.join(known)}.{guess}"
        return None

    def shares(self, column: str) -> list[dict[str, Any]]:
        """Return fibres with their percents: `acrylic 80 / wool 20`, with or without %."""
        parts = [part.strip() for part in re.split(r"[/,;+]", self.text(column)) if part.strip()]
        shares = []
        for part in parts:
            found = re.fullmatch(
                r"(?:([a-z]+) ?([0-9]{1,3}) ?%?)|(?:([0-9]{1,3}) ?%? ?([a-z]+))", part.casefold()
            )
            if not found:
                self.wrong[column] = (
                    f"“{part[:40]}” is no fibre with its percent. Write acrylic 80 / wool 20."
                )
                return []
            fibre, percent = found[1] or found[4], int(found[2] or found[3])
            shares.append({"fibre": fibre, "percent": percent})
        return shares
