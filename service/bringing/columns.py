"""The columns of a file to bring in, in the words of the trade."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from sizing.dogs import Coat, EarCarriage, HeadType, Risk
from sizing.fittings import Felt
from sizing.units import LENGTH_EXAMPLE, WEIGHT_EXAMPLE
from sizing.yarns import Fibre, WeightClass


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name in the first line, and what stands in it."""

    name: str
    what: str


def _some(values: Iterable[str]) -> str:
    return ", ".join(values)


BUYER: Final = (
    Column("buyer", "name of the buyer; needed in every line"),
    Column("e-mail", "of the buyer; with the name it tells who is known already"),
    Column("phone", "of the buyer"),
    Column("address", "postal address; several lines in quotes"),
)
DOG: Final = (
    Column("dog", "name of the dog"),
    Column("breed", "empty for a mix"),
    Column("weight", f"such as {WEIGHT_EXAMPLE}"),
    Column("head", _some(HeadType)),
    Column("ears", _some(EarCarriage)),
    Column("coat", _some(Coat)),
    Column("mind", f"what to mind, with / between: {_some(Risk)}"),
)
LENGTHS: Final = (
    Column("neck length", f"such as {LENGTH_EXAMPLE}"),
    Column("neck girth", "as above"),
    Column("nape length", "as above"),
    Column("face girth", "as above"),
    Column("crown length", "as above; may be left out"),
    Column("head girth", "as above; may be left out"),
    Column("unit", "cm or in: of the lengths without a unit; empty: the shop's own"),
)
YARN: Final = (
    Column("yarn", "name of the yarn; one on your shelf needs no more than that"),
    Column("fibres", f"such as acrylic 80 / wool 20; of: {_some(Fibre)}"),
    Column("yarn weight", f"a number, {WeightClass.LACE.value} to {WeightClass.JUMBO.value}"),
    Column("ball metres", "metres in a ball"),
    Column("ball grams", "grams in a ball"),
    Column("ball price", "of one ball, in the shop's currency"),
    Column("lot", "dye lot"),
    Column("hook", "in mm; empty for the usual one"),
)
ORDER: Final = (
    Column("your number", "your own number of the order, by which it is known again"),
    Column("taken on", "day such as 2026-03-14 or 14.3.2026; empty: today"),
    Column("due", "day, as above"),
    Column("state", "enquiry, quoted, accepted, making, finished, handed over or cancelled"),
    Column("odd because", "why an unusual number of this dog is right after all"),
    Column("notes", "what else there is to say"),
    Column("language", "of the buyer's papers, such as en or de"),
)
OUTCOME: Final = (
    Column("grams", "what the finished hood weighed"),
    Column("minutes", "how long it took"),
    Column("collar", f"how it fitted: {_some(Felt)}"),
    Column("nape", "as above"),
    Column("opening", "as above"),
    Column("fit notes", "what else there is to say of the finished hood"),
)
COLUMNS: Final = (*BUYER, *DOG, *LENGTHS, *YARN, *ORDER, *OUTCOME)
GROUPS: Final = (
    ("Buyer", BUYER),
    ("Dog", DOG),
    ("Lengths", LENGTHS),
    ("Yarn", YARN),
    ("Order", ORDER),
    ("What became of it", OUTCOME),
)
NAMES: Final = tuple(column.name for column in COLUMNS)
OF_DOG: Final = tuple(one.name for one in (*DOG, *LENGTHS) if one.name != "unit")
OF_ORDER: Final = tuple(one.name for one in (*YARN, *ORDER, *OUTCOME) if one.name != "language")
"""Columns of which one that is filled makes a line an order."""
_OTHER: Final = {"email": "e-mail", "e mail": "e-mail", "mail": "e-mail", "owner": "buyer",
                 "number": "your number", "telephone": "phone"}  # fmt: skip

SAMPLE: Final = (
    ("buyer", "e-mail", "dog", "breed", "weight", "neck length", "neck girth", "nape length",
     "face girth", "yarn", "fibres", "ball metres", "ball grams", "ball price", "your number",
     "taken on", "state", "grams", "minutes", "collar", "notes"),
    ("Wilhelmina Orrick", "wilhelmina@orrick.example", "Sprocket", "Beagle", "11 kg", "8 cm",
     "35.5 cm", "11.5 cm", "38 cm", "Sedge Aran", "acrylic 100", "170", "100", "4.80", "A 17",
     "2026-03-14", "handed over", "96", "340", "good", "asked for oatmeal"),
    ("Bartolo Quince", "bartolo@quince.example", "Lady Plum", "Greyhound", "62 lb", "7 in",
     "14 1/2 in", "6 in", "15 1/4 in", "Sedge Aran", "acrylic 100", "170", "100", "4.80", "A 18",
     "2026-04-02", "accepted", "", "", "", ""),
    ("Ines Tamarisk", "ines@tamarisk.example", "Nettle", "", "4,2 kg", "", "", "", "", "", "", "",
     "", "", "", "", "", "", "", "", ""),
)  # fmt: skip
"""A file to begin with: its first line has the names of the columns."""


def column_named(written: str) -> str:
    """Return the name of the column that a heading means, or nothing where it is none of ours."""
    tidy = " ".join(re.sub(r"[_\s]+", " ", written.strip().casefold()).split())
    for name in (tidy, _OTHER.get(tidy, ""), tidy.replace("-", " ")):
        if name in NAMES:
            return name
    return ""
