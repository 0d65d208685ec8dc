"""Texts in cells of a table that a spreadsheet program must not take for formulas.

A text that such a program would work out gets an apostrophe before it, which makes it a text
there; reading takes exactly that apostrophe off again, so that every text comes back as it was.
"""

from typing import Final

_SIGNS: Final = frozenset("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20")
"""What a formula begins with; spreadsheets of East Asia take the wide signs too."""
MARK: Final = "'"


def _is_marked(text: str) -> bool:
    return text[:1] == MARK and (text[1:2] in _SIGNS or text[1:2] == MARK)


def plain_cell(text: str) -> str:
    """Return a text as it is written into a cell: with a mark where it could be a formula."""
    if text[:1] in _SIGNS or text == MARK or _is_marked(text):
        return MARK + text
    return text


def text_of_cell(cell: str) -> str:
    """Return the text that `plain_cell` wrote into a cell; other texts are as they are."""
    return cell[1:] if _is_marked(cell) else cell
