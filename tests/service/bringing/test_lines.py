"""Lines of a file are read as people write them, and what is wrong is said beside its column."""

from datetime import date

import pytest

from service.bodies import ShopIn, YarnIn
from service.bringing.lines import Known, WrongLineError, asked_of
from service.bringing.sheet import MOST_BYTES, Line, read_sheet, sample
from service.errors import UnreadableError
from service.formulas import plain_cell, text_of_cell
from service.states import State
from sizing.units import LengthUnit

TODAY = date(2026, 5, 1)
YARN = YarnIn.model_validate(
    {"name": "Sedge Aran", "fibres": [{"fibre": "wool", "percent": 100}], "ball_metres": 170,
     "ball_grams": 100, "lot": "7"}
)  # fmt: skip
KNOWN = Known(ShopIn(unit=LengthUnit.INCH), {("sedge aran", ""): YARN})
HOOD = {
    "buyer": "Wilhelmina Orrick", "dog": "Sprocket", "neck length": "8 cm",
    "neck girth": "14 1/2", "nape length": "115 mm", "face girth": "1 ft 3 in",
    "yarn": "sedge ARAN",
}  # fmt: skip


def lines(text: str | bytes) -> list[dict[str, str]]:
    content = text.encode() if isinstance(text, str) else text
    return [line.cells for line in read_sheet(content).lines]


def wrong(**cells: str) -> dict[str, str]:
    told = {name.replace("_", " "): text for name, text in cells.items()}
    with pytest.raises(WrongLineError) as refused:
        asked_of(Line(2, {**HOOD, **told}), KNOWN, TODAY)
    return refused.value.wrong


@pytest.mark.parametrize("sign", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_separators_line_ends_and_headings_are_read_as_they_come(sign: str, end: str) -> None:
    rows = [
        ["Buyer", "E_Mail", "NECK-girth", "shoe size"],
        ["Odo", "o@x.example", '"35,5 cm"', "9"],
        ["Ida", "", "", ""],
    ]
    sheet = read_sheet((end.join(sign.join(row) for row in rows) + end).encode())

    assert [line.cells for line in sheet.lines] == [
        {"buyer": "Odo", "e-mail": "o@x.example", "neck girth": "35,5 cm"},
        {"buyer": "Ida"},
    ]
    assert sheet.ignored == ("shoe size",)


@pytest.mark.parametrize(
    ("code", "told"),
    [
        ("utf-8", "UTF-8"),
        ("utf-8-sig", "UTF-8"),
        ("utf-16", "UTF-16"),
        ("cp1252", "Windows (cp1252)"),
    ],
)
def test_letters_are_read_and_it_is_said_how(code: str, told: str) -> None:
    sheet = read_sheet("buyer,dog\nZoë Großwürgel,Łapa\n".replace("Ł", "L").encode(code))

    assert sheet.letters == told
    assert sheet.lines[0].cells["buyer"] == "Zoë Großwürgel"


def test_quoted_line_ends_stay_and_lines_are_counted_as_an_editor_counts_them() -> None:
    sheet = read_sheet(b'buyer,address\n"Odo","3 Weir\r\nMarrow"\n\nIda,"x"\n')

    assert [(line.place, line.cells) for line in sheet.lines] == [
        (2, {"buyer": "Odo", "address": "3 Weir\nMarrow"}),
        (5, {"buyer": "Ida", "address": "x"}),
    ]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "no line below"),
        (b"name,dog\nOdo,Rex\n", "name the columns"),
        (b"buyer,dog\n", "no line below"),
        (b"buyer,dog,dog\nOdo,a,b\n", "stands there twice"),
        (b"buyer,dog\nOdo,a,b\n", "Line 2 has 3 cells"),
        (b'buyer,dog\nOdo,"a\n', "quotation mark"),
        (b"buyer,dog\nOdo,\x81\x8d\n", "letters"),
        (b"\xef\xbb\xbfbuyer\n\xff\n", "is not"),
        (b"PK\x03\x04\0\0buyer", "no CSV"),
        (b"buyer,notes\nOdo," + b"x" * 10_001, "longer than"),
        (b"x" * (MOST_BYTES + 1), "40 MB"),
        (b"buyer\n" + b"x\n" * 100_001, "100000 lines"),
    ],
)
def test_what_is_no_table_is_refused_with_what_to_do(content: bytes, said: str) -> None:
    with pytest.raises(UnreadableError, match=said):
        read_sheet(content)


def test_every_line_of_the_sample_file_can_be_brought_in() -> None:
    told = [asked_of(line, KNOWN, TODAY) for line in read_sheet(sample()).lines]

    assert [one.state for one in told] == [State.HANDED_OVER, State.ACCEPTED, State.ENQUIRY]
    assert told[0].outcome
    assert told[2].order is None


def test_a_yarn_of_the_shelf_needs_its_name_alone_and_lengths_keep_their_texts() -> None:
    asked = asked_of(Line(2, HOOD), KNOWN, TODAY)

    assert asked.order
    assert asked.order.yarn == YARN
    assert asked.order.unit is LengthUnit.INCH
    assert asked.order.measurements.neck_girth == "14 1/2"


def test_all_that_is_wrong_with_a_line_is_said_at_once_by_column() -> None:
    told = wrong(
        buyer="", neck_girth="36 or 37", nape_length="", weight="12", head="square",
        mind="chewer / heeat", state="hand over", due="3/4/2026", taken_on="2027-01-01",
        yarn="Sedg Aran", hook="1,200", collar="tight", notes="x" * 2001,
    )  # fmt: skip

    assert set(told) == {
        "buyer", "neck girth", "nape length", "weight", "head", "mind", "state", "due",
        "taken on", "yarn", "hook", "collar",
    }  # fmt: skip
    assert "Is it “handed over”?" in told["state"]
    assert "Is it “heat”?" in told["mind"]
    assert "finished" in told["collar"]
    assert "notes" in wrong(notes="x" * 2001)


@pytest.mark.parametrize(
    ("column", "text"),
    [
        ("fibres", "acrylic 80 / wool"),
        ("fibres", "acrylick 100"),
        ("ball_metres", "many"),
        ("ball_price", "-4"),
        ("yarn_weight", "9"),
    ],
)
def test_a_yarn_that_cannot_be_is_told_in_its_column(column: str, text: str) -> None:
    good = {"fibres": "80% acrylic / 20% wool", "ball_metres": "170", "ball_grams": "100"}
    assert asked_of(
        Line(2, {**HOOD, **{n.replace("_", " "): t for n, t in good.items()}}), KNOWN, TODAY
    ).order

    assert set(wrong(**{**good, column: text})) == {column.replace("_", " ")}


HOSTILE = [
    "=1+1", "+4917612", "-2", "@SUM(A1)", "\t=1", "\r=1", "'", "''", "'=1", "''=1",
    "'s Gravenhage",
    "\uff1d1", "=", "", "plain", "' x", "=cmd|' /C calc'!A0",
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
def test_a_cell_is_no_formula_and_reads_back_as_it_was(text: str) -> None:
    cell = plain_cell(text)

    assert cell[:1] not in {"=", "+", "-", "@", "\t", "\r", "\n", "\uff1d"}
    assert text_of_cell(cell) == text


def test_cells_of_different_texts_differ() -> None:
    assert len({plain_cell(text) for text in HOSTILE}) == len(HOSTILE)
