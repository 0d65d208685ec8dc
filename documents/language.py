"""The language of a paper: its messages, dates, money and plurals.

A message is written in English where it is used, and that text is its key in the catalogue
of another language (`documents/locale/<code>.po`, read as it is). A message that a catalogue
lacks stands in English rather than not at all.
"""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from functools import lru_cache
from gettext import c2py
from pathlib import Path
from typing import Final

from babel import Locale
from babel.dates import format_date
from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po
from babel.numbers import format_currency, format_decimal

ENGLISH: Final = "en"
_FOLDER: Final = Path(__file__).parent / "locale"


def mark(message: str) -> str:
    """Return the message itself; tells that it is to be translated where it is said."""
    return message


@dataclass(frozen=True, slots=True)
class Language:
    """A language to say things in.

    Attributes:
        code: as in BCP 47, such as `en` or `de`.
    """

    code: str
    _catalogue: Catalog | None = field(default=None, repr=False, compare=False)

    def say(self, message: str, **values: object) -> str:
        """Return a message with its `{named}` values put in, once: a value is never a message."""
        found = self._catalogue.get(message) if self._catalogue else None
        text = found.string if found and found.string else message
        return str(text).format_map(values) if values else str(text)

    def many(self, one: str, more: str, number: int, **values: object) -> str:
        """Return the message for a number of things; `{number}` is the number."""
        text = one if number == 1 else more
        if self._catalogue and (found := self._catalogue.get((one, more))):
            forms = tuple(found.string or ())
            which = c2py(self._catalogue.plural_expr)(number)
            text = forms[which] if all(forms) and which < len(forms) else text
        return text.format_map({"number": number, **values})

    def date(self, day: date) -> str:
        """Return a day, with its month as a word so that no country misreads it."""
        return format_date(day, format="long", locale=self.code)

    def money(self, amount: Decimal, currency: str) -> str:
        """Return an amount with its currency."""
        return format_currency(amount, currency, locale=self.code)

    def number(self, value: float | Decimal) -> str:
        """Return a number with the language's own decimal sign."""
        return str(format_decimal(value, locale=self.code))


@lru_cache
def languages() -> tuple[str, ...]:
    """Return the codes of all languages there are, English first."""
    return (ENGLISH, *sorted(path.stem for path in _FOLDER.glob("*.po")))


@lru_cache
def language(code: str = ENGLISH) -> Language:
    """Return a language.

    Raises:
        ValueError: if there is no catalogue of it.
    """
    if code == ENGLISH:
        return Language(ENGLISH)
    if code not in languages():
        known = ", ".join(languages())
        raise ValueError(f"There is no language {code[:20]!r}. There are: {known}.")
    with (_FOLDER / f"{code}.po").open("rb") as file:
        return Language(code, read_po(file, locale=code))


def own_name(code: str) -> str:
    """Return what a language is called by those who speak it: English, Deutsch."""
    return (Locale.parse(code).get_display_name(code) or code).capitalize()
