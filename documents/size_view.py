"""The sheet of stock sizes, decided: for which dogs, how large, how much yarn."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from documents.bill_words import CAUTION
from documents.fibre_words import fibre_content
from documents.job import Maker
from documents.language import Language, language, mark
from documents.lengths import length, span
from documents.text import Cleaner
from sizing.errors import ValueOutOfRangeError
from sizing.material import YarnNeed
from sizing.sizes import SizeTable, Span, StockSize
from sizing.units import LengthUnit, millimetres
from sizing.yarns import Yarn

LONGEST_NAME: Final = 40
_ENGLISH: Final = language()
COLUMNS: Final = (
    mark("dog, measured"),
    mark("cm"),
    mark("inches"),
    mark("hood, finished"),
    mark("cm"),
    mark("inches"),
)
_METRES_A_YARD: Final = millimetres(36) / 1000


@dataclass(frozen=True, slots=True)
class SizeRow:
    """One length: its name, the dogs' span in cm and in, the hood's name for it, cm and in."""

    dog: tuple[str, str, str]
    hood: tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Size:
    """One size: its heading, its lengths, its largest head, its dogs, its yarn, its stitches."""

    title: str
    rows: tuple[SizeRow, ...]
    head: str
    fits: str
    yarn: str
    stitches: str


@dataclass(frozen=True, slots=True)
class SizeView:
    """A size sheet with nothing left to decide.

    Attributes:
        columns: the headings of the table: dog, in cm, in inches, hood, cm, inches.
        without: the dogs that no size fits, or empty.
        language: the code of the language that all is said in.
        warnings: what had to be changed in typed texts, for the maker's screen.
    """

    title: str
    heading: str
    below: str
    maker: str
    footer: str
    language: str
    intro: tuple[str, ...]
    columns: tuple[str, ...]
    sizes: tuple[Size, ...]
    without: str
    caution: str
    warnings: tuple[str, ...]


def _dog(name: str, body: Span, said: Language) -> tuple[str, str, str]:
    cm, inch = (span(body.low, body.high, unit, said) for unit in (LengthUnit.CM, LengthUnit.INCH))
    return name, cm, inch


def _hood(name: str, mm: float, said: Language) -> tuple[str, str, str]:
    cm, inch = (length(mm, unit, said) for unit in (LengthUnit.CM, LengthUnit.INCH))
    return name, cm, inch


def _rows(size: StockSize, said: Language) -> tuple[SizeRow, ...]:
    made, gentle = size.finished, size.gentle_neck
    return (
        SizeRow(
            _dog(said.say("neck girth"), size.neck_girth, said),
            _hood(said.say("collar, round"), made.collar_girth, said),
        ),
        SizeRow(
            _dog(said.say("nape length"), size.nape_length, said),
            _hood(said.say("nape"), made.nape, said),
        ),
        SizeRow(
            _dog(said.say("face girth"), size.face_girth, said),
            _hood(said.say("face opening"), made.face_opening, said),
        ),
        SizeRow(
            _dog(said.say("neck, short-nosed"), gentle, said) if gentle else ("", "", ""),
            _hood(said.say("collar, high"), made.collar_height, said),
        ),
    )


def _yarn(need: YarnNeed, said: Language) -> str:
    metres = need.metres
    return said.say(
        "Yarn: {metres} m ({low} to {high}), {yards} yd; {balls} to buy",
        metres=said.number(round(metres.likely)),
        low=said.number(round(metres.low)),
        high=said.number(round(metres.high)),
        yards=said.number(round(metres.likely / _METRES_A_YARD)),
        balls=said.many("{number} ball", "{number} balls", need.balls_to_buy),
    )


def _named(names: Sequence[str], places: Sequence[int]) -> str:
    """Return the names of some dogs; two of one name are told once."""
    return "; ".join(dict.fromkeys(names[place] for place in places))


def _head(size: StockSize, limit: float | None, said: Language) -> str:
    """Return over how large a head a size goes, where it is known how far its rib stretches."""
    if limit is None:
        return ""
    mm = size.finished.collar_girth * (1 + limit)
    cm, inch = (length(mm, unit, said) for unit in (LengthUnit.CM, LengthUnit.INCH))
    return said.say(
        "Goes over a head of up to {cm}, {inch}; on a larger one, try it first.", cm=cm, inch=inch
    )


def _size(
    size: StockSize, need: YarnNeed, names: Sequence[str], limit: float | None, said: Language
) -> Size:
    rows = size.rows
    return Size(
        title=said.say("Size {number}", number=size.number),
        rows=_rows(size, said),
        head=_head(size, limit, said),
        fits=said.say("Fits: {dogs}", dogs=_named(names, size.fits)),
        yarn=_yarn(need, said),
        stitches=said.say(
            "Collar {stitches} sts, {rows} rows; hood {picked} sts, {hood} rows",
            stitches=rows.collar_stitches,
            rows=rows.collar_rows,
            picked=rows.hood_stitches,
            hood=rows.hood_rows,
        ),
    )


def size_view(
    table: SizeTable,
    needs: Sequence[YarnNeed],
    dogs: Sequence[str],
    yarn: Yarn,
    maker: Maker,
    issued: date,
    said: Language = _ENGLISH,
    *,
    limit: float | None = None,
) -> SizeView:
    """Return the sheet of stock sizes.

    Args:
        table: the sizes.
        needs: the yarn of each size, in order.
        dogs: a name for each dog of the range that the table was made for, such as a breed.
        yarn: the yarn of all.
        maker: who makes them.
        issued: the date of the sheet.
        said: the reader's language.
        limit: the strain up to which the rib stretches in comfort; None where it is not known.

    Raises:
        ValueOutOfRangeError: if the needs or the names are not as many as sizes or dogs.
    """
    places = [place for size in table.sizes for place in size.fits] + list(table.without)
    if len(needs) != len(table.sizes) or max(places, default=-1) >= len(dogs):
        raise ValueOutOfRangeError(
            "sizes", "A size sheet needs the yarn of each size and a name for each dog."
        )
    cleaner = Cleaner()
    names = [cleaner.line(dog, "dog", LONGEST_NAME) for dog in dogs]
    name = cleaner.line(yarn.name, "yarn", LONGEST_NAME)
    who = cleaner.line(maker.name, "maker", LONGEST_NAME)
    title = said.say("Stock sizes of hoods in {yarn}", yarn=name)
    without = _named(names, table.without)
    return SizeView(
        title=title,
        heading=said.say("Stock sizes"),
        below=f"{name} \u00b7 {fibre_content(said, yarn.fibres)} \u00b7 {said.date(issued)}",
        maker=who,
        footer=f"{title} \u00b7 {who}",
        language=said.code,
        intro=(
            said.say("A size fits a dog when all three lengths lie within its spans."),
            said.say("If one does not, have the hood made to measure."),
        ),
        columns=tuple(said.say(word) for word in COLUMNS),
        sizes=tuple(
            _size(size, need, names, limit, said)
            for size, need in zip(table.sizes, needs, strict=True)
        ),
        without=said.say("No size fits: {dogs}", dogs=without) if without else "",
        caution=said.say(CAUTION),
        warnings=tuple(dict.fromkeys(cleaner.warnings)),
    )
