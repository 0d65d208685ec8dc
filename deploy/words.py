"""Collect what buyers are told, and bring the catalogues of all languages up to date.

    python3 deploy/words.py

Run it in the test environment after a sentence for buyers was written, changed or dropped.
It writes `documents/locale/messages.pot` from the code and the templates, adds what is new to
each `documents/locale/<language>.po` with an empty translation, keeps what is dropped as a
comment, and says what is left to translate. A test fails until nothing is.
"""

import io
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from string import Formatter
from typing import Final

from babel.core import Locale
from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import PoFileError, read_po, write_po

ROOT: Final = Path(__file__).resolve().parent.parent
LOCALE: Final = ROOT / "documents" / "locale"
TEMPLATE: Final = LOCALE / "messages.pot"
FOLDERS: Final = ("documents", "service")
METHODS: Final = [("**.py", "python"), ("**/templates/**.html", "jinja2")]
KEYWORDS: Final = {"say": None, "mark": None, "many": (1, 2)}
NUMBER: Final = "number"
"""The only placeholder that a plural form may leave out: `one ball` for `{number} balls`."""
TRANSLATORS: Final = "Translators:"
_MAILED: Final = re.compile(r"\{\{ *(\w+) *\}\}")


def collected() -> Catalog:
    """Return the messages in the code, each with the files that say it."""
    catalogue = Catalog(charset="utf-8")
    for folder in FOLDERS:
        found = extract_from_dir(
            ROOT / folder, METHODS, keywords=KEYWORDS, comment_tags=(TRANSLATORS,)
        )
        for file, _, message, comments, _ in sorted(found, key=lambda one: one[:2]):
            place = f"{folder}/{Path(file).as_posix()}"
            catalogue.add(message, locations=[(place, 0)], auto_comments=comments)
    return catalogue


def read(path: Path) -> Catalog:
    """Return a catalogue.

    Raises:
        PoFileError: if it is not in the format.
        UnicodeDecodeError: if it is not in UTF-8.
    """
    text = path.read_text(encoding="utf-8")
    locale = None if path == TEMPLATE else path.stem
    return read_po(io.BytesIO(text.encode()), locale=locale, abort_invalid=True)


def _head(locale: Locale | None, catalogue: Catalog) -> str:
    """Return the header that translation programs need; without a date, so it stays the same."""
    lines = ["Content-Type: text/plain; charset=utf-8", "Content-Transfer-Encoding: 8bit"]
    if locale:
        lines = [f"Language: {locale}", f"Plural-Forms: {catalogue.plural_forms}", *lines]
    return 'msgid ""\nmsgstr ""\n' + "".join(f'"{line}\\n"\n' for line in lines) + "\n"


def written(catalogue: Catalog, code: str | None = None) -> str:
    """Return a catalogue as the text of its file."""
    buffer = io.BytesIO()
    write_po(buffer, catalogue, omit_header=True, include_lineno=False, sort_output=False)
    locale = Locale.parse(code, sep="-") if code else None
    return _head(locale, catalogue) + buffer.getvalue().decode().lstrip("\n")


def ids(catalogue: Catalog) -> set[str | tuple[str, ...]]:
    """Return the messages of a catalogue; one with a plural is a pair."""
    found = (message.id for message in catalogue if message.id)
    return {tuple(one) if isinstance(one, list | tuple) else one for one in found}


def _names(text: str) -> set[str]:
    """Return the placeholders of a text: `{name}`, and `{{ name }}` in a mail's words.

    Raises:
        ValueError: if its braces do not match.
    """
    plain = {name for _, name, _, _ in Formatter().parse(text) if name is not None}
    return plain | {f"{{ {name} }}" for name in _MAILED.findall(text)}


def _texts(value: object) -> tuple[str, ...]:
    if isinstance(value, list | tuple):
        return tuple(str(text) for text in value)
    return (str(value or ""),)


def _wrong(message: Message) -> Iterator[str]:
    """Yield what is wrong with one translation."""
    said, translated = _texts(message.id), _texts(message.string)
    if message.fuzzy:
        yield "is marked as fuzzy: look at it, then take the mark out"
    if not all(text.strip() for text in translated):
        yield "is not translated"
        return
    try:
        wanted = set[str]().union(*map(_names, said))
        found = [_names(text) for text in translated]
    except ValueError as error:
        yield f"has braces that do not match ({error})"
        return
    may_lack = {NUMBER} if len(said) > 1 else set()
    for names in found:
        if names - wanted or wanted - names - may_lack:
            yield f"has the placeholders {sorted(names)}, and needs {sorted(wanted)}"


def faults(path: Path, template: Catalog) -> list[str]:
    """Return what is wrong with a language's catalogue, a plain sentence each."""
    try:
        catalogue = read(path)
    except (PoFileError, UnicodeDecodeError, ValueError) as error:
        return [f"{path.name} cannot be read ({error}): mend the line, or take back the change."]
    messages = {key: message for message in catalogue for key in ids_of(message)}
    missing = [f"{path.name} lacks {key!r}: run python3 deploy/words.py, then translate it."
               for key in sorted(ids(template) - set(messages), key=str)]  # fmt: skip
    wrong = [
        f"{path.name}: {key!r} {what}."
        for key, message in messages.items()
        if key in ids(template)
        for what in _wrong(message)
    ]
    return missing + wrong


def ids_of(message: Message) -> tuple[str | tuple[str, ...], ...]:
    """Return the key of a message, or nothing for the header."""
    if not message.id:
        return ()
    return (tuple(message.id) if isinstance(message.id, list | tuple) else message.id,)


def catalogues() -> list[Path]:
    """Return the files of all languages but English."""
    return sorted(LOCALE.glob("*.po"))


def main() -> int:
    """Write the template and the catalogues; answer 1 while something is left to translate."""
    template = collected()
    TEMPLATE.write_text(written(template), encoding="utf-8")
    print(f"{TEMPLATE.relative_to(ROOT)}: {len(ids(template))} messages.")
    left: list[str] = []
    for path in catalogues():
        catalogue = read(path)
        catalogue.update(template, no_fuzzy_matching=True)
        path.write_text(written(catalogue, path.stem), encoding="utf-8")
        found = faults(path, template)
        print(f"{path.relative_to(ROOT)}: {len(found) or 'nothing'} left to do.")
        left += found
    print(*left, sep="\n")
    return 1 if left else 0


if __name__ == "__main__":
    sys.exit(main())
