"""A file read as a table: its letters, its separators, its lines, within limits that are told."""

import csv
import io
from dataclasses import dataclass
from difflib import get_close_matches
from hashlib import sha256
from typing import Final

from service.bringing.columns import SAMPLE, column_named
from service.errors import UnreadableError
from service.formulas import plain_cell, text_of_cell

MOST_BYTES: Final = 40_000_000
MOST_LINES: Final = 100_000
MOST_WRITTEN: Final = 300_000
"""Lines as they stand in the file: empty ones, and those inside of a cell."""
MOST_IN_CELL: Final = 10_000
MOST_COLUMNS: Final = 500
"""Of a table of whatever else; ours has some forty."""
_FIRST: Final = 100_000
"""Characters that the first line is looked for in: fewer than the csv module reads in a cell."""
SEPARATORS: Final = {",": "comma", ";": "semicolon", "\t": "tabulator"}


@dataclass(frozen=True, slots=True)
class Line:
    """A line: where it begins in the file, counted from 1, and its cells by column."""

    place: int
    cells: dict[str, str]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A file, read.

    Attributes:
        lines: those that hold something.
        letters: how its letters were read.
        separator: what stands between its cells, as a word.
        digest: of its bytes, by which it is known again.
        ignored: headings that are none of ours; their columns are left out, and it is told.
    """

    lines: tuple[Line, ...]
    letters: str
    separator: str
    digest: str
    ignored: tuple[str, ...]


def _letters(content: bytes) -> tuple[str, str]:
    """Return a file's text and how its letters were read."""
    for mark, code, name in (
        (b"\xef\xbb\xbf", "utf-8-sig", "UTF-8"),
        (b"\xff\xfe", "utf-16", "UTF-16"),
        (b"\xfe\xff", "utf-16", "UTF-16"),
    ):
        if content.startswith(mark):
            try:
                return content.decode(code), name
            except UnicodeDecodeError as error:
                said = f"The file says that it is {name}, and is not. Save it anew as CSV (UTF-8)."
                raise UnreadableError(said) from error
    try:
        return content.decode("utf-8"), "UTF-8"
    except UnicodeDecodeError:
        # The five bytes that Windows leaves open are no letters: nothing is made up for them.
        try:
            return content.decode("cp1252"), "Windows (cp1252)"
        except UnicodeDecodeError as error:
            said = "The letters of the file cannot be read. Save it as CSV (UTF-8)."
            raise UnreadableError(said) from error


def _separator(text: str) -> str:
    """Return what stands between the headings: what cuts the first line into most of ours."""
    head = text[:_FIRST]

    def known(sign: str) -> tuple[int, int]:
        first = next(csv.reader(io.StringIO(head, newline=""), delimiter=sign), [])
        ours = sum(bool(column_named(text_of_cell(one))) for one in first[:MOST_COLUMNS])
        return ours, -len(first)

    return max(SEPARATORS, key=known)


def _headings(first: list[str], needed: str) -> tuple[list[str], tuple[str, ...]]:
    """Return the column of each place, empty where it is none of ours, and the ones left out."""
    if len(first) > MOST_COLUMNS:
        raise UnreadableError(
            f"The first line names more than {MOST_COLUMNS} columns. Take out those that are empty"
            " or not needed."
        )
    found = [column_named(text_of_cell(cell)) for cell in first]
    if needed not in found:
        said = (
            f"The first line must name the columns, “{needed}” among them. The sample file shows"
            " how."
        )
        near = get_close_matches(needed, [cell[:60].casefold() for cell in first], 1)
        raise UnreadableError(said + (f" Is “{near[0]}” the {needed}?" if near else ""))
    twice = {name for name in found if name and found.count(name) > 1}
    if twice:
        raise UnreadableError(f"The column “{min(twice)}” stands there twice. Take one out.")
    ignored = tuple(
        text.strip()[:60]
        for text, name in zip(first, found, strict=True)
        if not name and text.strip()
    )
    return found, ignored


def _cells(row: list[str], columns: list[str], place: int) -> dict[str, str]:
    if len(row) > len(columns) and any(cell.strip() for cell in row[len(columns) :]):
        said = (
            f"Line {place} has {len(row)} cells, and the first line names {len(columns)} columns."
            " Put a text that holds the separator into quotes."
        )
        raise UnreadableError(said, {f"line {place}": said})
    cells = {}
    for name, cell in zip(columns, row, strict=False):
        if len(cell) > MOST_IN_CELL:
            said = f"“{name}” in line {place} is longer than {MOST_IN_CELL} characters."
            raise UnreadableError(said, {f"line {place}, {name}": said})
        text = text_of_cell(cell.replace("\r\n", "\n").replace("\r", "\n")).strip()
        if name and text:
            cells[name] = text
    return cells


def _lines(text: str, separator: str, needed: str) -> tuple[tuple[Line, ...], tuple[str, ...]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    columns: list[str] = []
    ignored: tuple[str, ...] = ()
    lines: list[Line] = []
    begun = 1
    for row in reader:
        place, begun = begun, reader.line_num + 1
        if place > MOST_WRITTEN:
            raise UnreadableError(
                f"The file has more than {MOST_WRITTEN} lines with the empty ones. Take those out."
            )
        if not row or not any(cell.strip() for cell in row):
            continue
        if not columns:
            columns, ignored = _headings(row, needed)
            continue
        if len(lines) == MOST_LINES:
            raise UnreadableError(
                f"The file has more than {MOST_LINES} lines. Bring it in in several files."
            )
        if cells := _cells(row, columns, place):
            lines.append(Line(place, cells))
    if not lines:
        raise UnreadableError("The file has no line below the names of its columns.")
    return tuple(lines), ignored


def read_sheet(content: bytes, needed: str = "buyer") -> Sheet:
    """Read a file.

    Args:
        content: its bytes.
        needed: the column without which it is no file of ours.

    Raises:
        UnreadableError: saying what is wrong with it as a whole, and where.
    """
    if len(content) > MOST_BYTES:
        said = (
            f"The file is larger than {MOST_BYTES // 1_000_000} MB. Bring it in in several files."
        )
        raise UnreadableError(said)
    text, letters = _letters(content)
    if "\0" in text:
        raise UnreadableError("This is no CSV file. Save your table as CSV (UTF-8) first.")
    try:
        separator = _separator(text)
        lines, ignored = _lines(text, separator, needed)
    except csv.Error as error:
        said = "A quotation mark is opened and not closed, or the file is no CSV file."
        raise UnreadableError(f"{said} ({error})") from error
    return Sheet(lines, letters, SEPARATORS[separator], sha256(content).hexdigest(), ignored)


def sample() -> bytes:
    """Return a file to begin with, as UTF-8 with the mark by which spreadsheets know it."""
    out = io.StringIO(newline="")
    csv.writer(out).writerows([plain_cell(cell) for cell in row] for row in SAMPLE)
    return out.getvalue().encode("utf-8-sig")
