"""Every sentence for buyers stands in every language: the catalogues against the code."""

from pathlib import Path

import pytest
from babel.messages.catalog import Catalog

from deploy import words

HEAD = 'msgid ""\nmsgstr "Content-Type: text/plain; charset=utf-8\\n"\n\n'
every_language = pytest.mark.parametrize("path", words.catalogues(), ids=lambda path: path.stem)


def test_there_is_german() -> None:
    assert "de" in {path.stem for path in words.catalogues()}


def test_the_template_has_just_what_the_code_says() -> None:
    code, kept = words.ids(words.collected()), words.ids(words.read(words.TEMPLATE))
    told = "\n".join(map(str, sorted(code ^ kept, key=str)))

    assert code == kept, f"Run python3 deploy/words.py, then translate; it is about:\n{told}"


@every_language
def test_every_message_is_translated_with_its_placeholders(path: Path) -> None:
    faults = words.faults(path, words.collected())

    assert not faults, "\n".join(faults)


@every_language
def test_a_catalogue_is_as_the_script_writes_it(path: Path) -> None:
    catalogue = words.read(path)
    catalogue.update(words.collected(), no_fuzzy_matching=True)
    told = f"{path.name} is not as the script writes it: run python3 deploy/words.py."

    assert words.written(catalogue, path.stem) == path.read_text(encoding="utf-8"), told


def test_the_scan_finds_every_way_of_saying(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    code = 'X = mark("a " "b")\nsay("c", dog=1)\nlanguage.many("one", "{number}", 2)\nprint("d")\n'
    (tmp_path / "documents").mkdir()
    (tmp_path / "documents" / "one.py").write_text(code, encoding="utf-8")
    (tmp_path / "service" / "templates").mkdir(parents=True)
    page = '<p>{{ say("e") }}</p>{% if say("f") %}g{% endif %}'
    (tmp_path / "service" / "templates" / "one.html").write_text(page, encoding="utf-8")
    monkeypatch.setattr(words, "ROOT", tmp_path)

    assert words.ids(words.collected()) == {"a b", "c", ("one", "{number}"), "e", "f"}


@pytest.mark.parametrize(
    ("entry", "told"),
    [
        ('msgid "Hi {dog}"\nmsgstr ""\n', "is not translated"),
        ('msgid "Hi {dog}"\nmsgstr " "\n', "is not translated"),
        ('msgid "Hi {dog}"\nmsgstr "He"\n', "needs ['dog']"),
        ('msgid "Hi {dog}"\nmsgstr "He {hund}"\n', "has the placeholders ['hund']"),
        ('msgid "Hi {dog}"\nmsgstr "He {dog"\n', "braces that do not match"),
        ('msgid "Hi {{ dog }}"\nmsgstr "He {{ hund }}"\n', "has the placeholders ['{ hund }']"),
        ('#, fuzzy\nmsgid "Hi {dog}"\nmsgstr "He {dog}"\n', "fuzzy"),
        ('msgid "other"\nmsgstr "anders"\n', "xx.po lacks 'Hi {dog}': run python3"),
        ('msgid "Hi {dog}\nmsgstr "He"\n', "xx.po lacks 'Hi {dog}': run python3"),
        ('msgid "Hi {dog}"\nmsgster "He"\n', "cannot be read"),
    ],
)
def test_a_fault_is_told(tmp_path: Path, entry: str, told: str) -> None:
    template = Catalog()
    template.add("Hi {{ dog }}" if "{{" in entry else "Hi {dog}")
    path = tmp_path / "de.po"
    path.write_text(HEAD + entry, encoding="utf-8")

    (fault,) = words.faults(path, template)

    assert told.replace("xx.po", "de.po") in fault


def test_a_file_that_is_no_text_is_told(tmp_path: Path) -> None:
    path = tmp_path / "de.po"
    path.write_bytes(b'msgid "a"\nmsgstr "\xff"\n')

    (fault,) = words.faults(path, Catalog())

    assert "cannot be read" in fault


def test_a_plural_may_leave_out_the_number_and_nothing_else(tmp_path: Path) -> None:
    template = Catalog()
    template.add(("{number} ball of {yarn}", "{number} balls of {yarn}"))
    path = tmp_path / "de.po"
    entry = (
        'msgid "{number} ball of {yarn}"\nmsgid_plural "{number} balls of {yarn}"\n'
        'msgstr[0] "ein Knäuel {yarn}"\nmsgstr[1] "{number} Knäuel"\n'
    )
    path.write_text(HEAD + entry, encoding="utf-8")

    (fault,) = words.faults(path, template)

    assert "has the placeholders ['number'], and needs ['number', 'yarn']" in fault
