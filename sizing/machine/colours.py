"""Colours: a row has one, and a seam is worked with the yarn that is at hand."""

from sizing.machine.hook import fault
from sizing.rows import ADD_ONS, SEAMS, Part, Pattern


def one_colour_each(pattern: Pattern) -> None:
    """Refuse a row without its colour in a hood that names colours; each add-on is its own."""
    hood = tuple([part for part in pattern.parts if part.part not in ADD_ONS])
    for part in pattern.parts:
        if part.part in ADD_ONS:
            _all_or_none((part,))
    if not _all_or_none(hood):
        return
    last = ""
    for part in hood:
        for row in part.rows:
            if part.part in SEAMS and last and row.colour != last:
                raise fault(part, row.row, f"the yarn at hand is {last}")
            last = row.colour


def _all_or_none(parts: tuple[Part, ...]) -> bool:
    """Return whether the rows name colours; refuse it where some do and some do not."""
    colours = {row.colour for part in parts for row in part.rows}
    if not any(colours):
        return False
    for part in parts if "" in colours else ():
        for row in part.rows:
            if not row.colour:
                raise fault(part, row.row, "its colour is missing")
    return True
