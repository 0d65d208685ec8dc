"""The fullest tickets there can be: four pages, every row on them, nothing too small."""

import re
from dataclasses import replace
from functools import cache
from itertools import product

import pytest

from documents.fonts import BOLD, REGULAR
from documents.page import Paper
from documents.ticket_cells import TABLE_DENSITIES, cell_of
from documents.ticket_rows import Step, Strip, in_colour
from documents.ticket_short import short_text
from documents.ticket_table import tabled
from documents.ticket_view import ticket_view
from documents.work_ticket import FEWEST_PAGES, MOST_PAGES, pages_of
from sizing.addons import SAFETY, AddOn, Shape
from sizing.ballband import PER_100_G
from sizing.dogs import Dog, HeadType, Risk
from sizing.pattern import pattern_of
from sizing.plan import Plan
from sizing.rows import DECREASES, SEAMS, Part, PartName, Row
from sizing.stock import usual_dog
from sizing.style import Hand, Style, Turning
from sizing.units import LengthUnit
from sizing.variants import EdgingStitch, Stripe, Stripes
from sizing.wishes import Wishes, make_of
from sizing.wording import Terms, part_title, row_text
from sizing.yarns import WeightClass
from tests.documents.looking import assert_inside, crossed_boxes, least_type
from tests.documents.samples import MOORLAND, Order, order, overlaps, plumb, texts_of, ticket
from tests.documents.test_variant_tickets import LARGEST, ONE_ROW, ROOM, long_job

SMALLEST = 7.0
"""Points of type that can still be read at arm's length, as the ticket promises."""
COLOURS = [f"{sign}{sign * 4}" for sign in "abcdefghijklmnopqrstuvwx"]
STRIPES = {
    "no": None,
    "one row": ONE_ROW,
    "uneven": Stripes(
        (Stripe("cream", 6), Stripe("rust", 2)),
        (Stripe("cream", 3), Stripe("dark green", 2), Stripe("rust", 2)),
        "gold",
    ),
    "all colours": Stripes(
        tuple(Stripe(colour, 1) for colour in COLOURS),
        tuple(Stripe(colour, 1) for colour in reversed(COLOURS)),
    ),
}
SHAPES = {
    "none": (),
    "horns": (AddOn(Shape.CONE, 400, 400),),
    "all": tuple(
        AddOn(shape, 400, 0 if shape is Shape.DISC else 400, 3, colour)
        for shape, colour in zip(Shape, ("gold", "moss", "plum", "slate"), strict=True)
    ),
}
"""The largest that are made."""


@cache
def full(
    stripes: str,
    shapes: str,
    terms: Terms = Terms.US,
    unit: LengthUnit = LengthUnit.CM,
    *,
    turning: Turning = Turning.NONE,
    weight: WeightClass = WeightClass.LACE,
) -> Order:
    """The largest dog with all that an order can ask, the longest names and notes, no swatch."""
    dog = Dog(None, 104.0, HeadType.MASTIFF, risks=frozenset(Risk) - {Risk.CHEWER})
    low, high = PER_100_G[weight]
    metres = (low.value + high.value) / 2 * MOORLAND.ball_grams / 100
    yarn = replace(MOORLAND, weight_class=weight, ball_metres=metres)
    job, plan = order(dog, LARGEST, yarn=yarn, unit=unit, terms=terms)
    wishes = Wishes(
        style=Style(turning, terms, Hand.LEFT),
        buttoned=True,
        ear_base_mm=60,
        ear_from_centre_mm=70,
        ear_above_collar_mm=80,
        stripes=STRIPES[stripes],
        edging=EdgingStitch.SL_ST,
        add_ons=SHAPES[shapes],
    )
    make = make_of(wishes, plan.rows, plan.gauge)
    made = replace(plan, pattern=pattern_of(plan.rows, make), make=make)
    return long_job((replace(job, hand=Hand.LEFT), made))


EVERY = list(product(STRIPES, SHAPES, Terms, LengthUnit))


@pytest.mark.parametrize(("stripes", "shapes", "terms", "unit"), EVERY)
def test_the_fullest_ticket_takes_four_pages(
    stripes: str, shapes: str, terms: Terms, unit: LengthUnit
) -> None:
    view = ticket_view(*full(stripes, shapes, terms, unit))

    assert view.swatch
    assert len(pages_of(view, ROOM)) <= MOST_PAGES


@pytest.mark.parametrize("weight", list(WeightClass))
@pytest.mark.parametrize("turning", list(Turning))
def test_no_yarn_and_no_way_of_turning_takes_more(turning: Turning, weight: WeightClass) -> None:
    shapes = "all" if weight is not WeightClass.JUMBO else "none"
    view = ticket_view(*full("uneven", shapes, turning=turning, weight=weight))

    assert len(pages_of(view, ROOM)) <= MOST_PAGES


@pytest.mark.parametrize("head", list(HeadType))
@pytest.mark.parametrize("kg", [2, 8, 18, 32, 50, 80, 104])
def test_the_usual_dog_in_a_medium_yarn_takes_one_sheet(kg: float, head: HeadType) -> None:
    """Of any size, with a swatch to make first: front and back of one sheet."""
    body = usual_dog(kg, head).body
    lengths = (body.neck_length, body.neck_girth, body.nape_length, body.face_girth)
    for terms, unit in product(Terms, LengthUnit):
        view = ticket_view(*order(Dog(None, kg, head), lengths, terms=terms, unit=unit))

        assert view.swatch
        assert len(pages_of(view, ROOM)) <= FEWEST_PAGES


DRAWN = [
    pytest.param(stripes, terms, unit, paper, id=f"{stripes}, {terms}, {unit}, {paper}")
    for stripes, (terms, unit, paper) in zip(
        [*STRIPES, *reversed(STRIPES)], product(Terms, LengthUnit, Paper), strict=True
    )
]
OF_EACH = [DRAWN[place] for place in (0, 3, 5, 6)]
"""Each stripes, each pair of two of the others; a look at every letter takes long."""
NAMES = ("stripes", "terms", "unit", "paper")


@pytest.mark.parametrize(NAMES, OF_EACH)
def test_nothing_on_it_is_too_small_or_over_another(
    stripes: str, terms: Terms, unit: LengthUnit, paper: Paper
) -> None:
    with plumb(ticket(full(stripes, "all", terms, unit), paper)) as pdf:
        assert len(pdf.pages) <= MOST_PAGES
        for page in pdf.pages:
            assert_inside(page, paper)
            assert not overlaps(page)
            assert not crossed_boxes(page)
            assert least_type(page) >= SMALLEST - 0.01


_SAID = re.compile(r" ([a-z])((?: [a-z](?:, [a-z])*)?): ((?:In [^:]+: )?[^:.]+)\.")
_COLOURS = re.compile(r" Colours: ([^.]+)\.")
_CODED = r" {row} (?:{side} )?(?:([A-Z]) )?([a-z])((?: \d+(?:, \d+)*)?) {count} "


class Reader:
    """Reads the rows of a ticket from its text, one after the other, knowing no plan."""

    def __init__(self, pages: tuple[str, ...]) -> None:
        self.text = " \f ".join(" ".join(page.split()) for page in pages) + " "
        self.at = 0

    def go(self, words: str) -> None:
        """Go on to some words, which must stand further on."""
        place = self.text.find(words, self.at)
        assert place >= 0, f"{words} is missing after …{self.text[self.at : self.at + 80]}"
        self.at = place

    def seen(self) -> str:
        """Return what stands on this page up to here."""
        return self.text[self.text.rfind("\f", 0, self.at) + 1 : self.at + 1]

    def coded(self, row: int, side: str, count: int) -> tuple[str, str]:
        """Return colour and sentence of the next row, from its letters and numbers."""
        found = re.compile(_CODED.format(row=row, side=side, count=count)).search(
            self.text, self.at
        )
        assert found, f"row {row} is missing after …{self.text[self.at : self.at + 80]}"
        self.at = found.start()
        said = {one[1]: one for one in _SAID.finditer(self.seen())}
        colours = list(_COLOURS.finditer(self.seen()))
        colour, sign, numbers = found.groups()
        letters = re.findall(r"[a-z]", said[sign][2])
        values = dict(zip(letters, re.findall(r"\d+", numbers), strict=True))
        sentence = re.sub(r"(?<=\bin )[a-z]\b", lambda one: values[one[0]], said[sign][3])
        if colour is None:
            return "", sentence
        named = dict(pair.split(" ", 1) for pair in colours[-1][1].split(", "))
        return named[colour], sentence


def assert_row(reader: Reader, part: Part, row: Row, terms: Terms) -> None:
    """Find a row on the ticket: in its own words, or as a line of the table above it."""
    side = "" if part.rounds else row.side.value
    whole, _, count = row_text(part.part, row, terms).partition(" (")
    begin = f" {row.row} {side} ".replace("  ", " ")
    plain = whole.removeprefix(in_colour(row.colour))
    ways = [
        f"{begin}{said} {count.rstrip(')')} " for said in (short_text(whole), short_text(plain))
    ]
    near = [reader.text.find(way, reader.at) for way in ways]
    code = re.compile(_CODED.format(row=row.row, side=side, count=row.stitches))
    found = code.search(reader.text, reader.at)
    places = [place for place in near if place >= 0]
    if places and (not found or min(places) <= found.start()):
        reader.at = min(places) + 1
        return
    colour, sentence = reader.coded(row.row, side, row.stitches)
    one = len({each.colour for each in part.rows}) == 1
    assert sentence == short_text(whole) or (
        sentence == short_text(plain) and (colour == row.colour or one)
    ), (sentence, colour, whole)
    reader.at += 1


def strips_of(plan: Plan, order: Order, part: Part) -> dict[int, Strip]:
    """Return the rows of a part that are folded, by their number."""
    sections = ticket_view(*order).sections
    section = sections[plan.pattern.parts.index(part)]
    return {
        row: item
        for item in section.items
        if isinstance(item, Strip)
        for row in range(item.first, item.last + 1)
    }


@pytest.mark.parametrize(NAMES, DRAWN)
def test_a_reader_finds_each_row_with_its_sentence_on_its_page(
    stripes: str, terms: Terms, unit: LengthUnit, paper: Paper
) -> None:
    made = full(stripes, "all", terms, unit)
    _, plan = made
    reader = Reader(texts_of(ticket(made, paper)))
    for part in plan.pattern.parts:
        reader.go(f" {part_title(part.part)} ")
        if part.part in SEAMS:
            continue
        folded = strips_of(plan, made, part)
        for row in part.rows:
            strip = folded.get(row.row)
            if strip is None:
                assert_row(reader, part, row, terms)
                continue
            if row.row == strip.first:
                reader.go(f" {strip.word}s {strip.title} ")
                reader.go(short_text(strip.text.removeprefix(in_colour(row.colour))))
            reader.go(f" {row.row} ")
            if strip.signs:
                reader.go(f" {row.row} {strip.signs[row.colour]} ")
    for text in SAFETY:
        reader.go(text)


def test_each_sentence_of_a_table_stands_once_under_a_letter_of_its_own() -> None:
    for stripes in STRIPES:
        for section in ticket_view(*full(stripes, "all")).sections:
            told, table = tabled(section)
            if table is None:
                assert told == section
                continue
            signs = [one.sign for one in table.sentences]
            assert len(set(signs)) == len(signs)
            texts = [one.text for one in table.sentences]
            assert len(set(texts)) == len(texts)


def test_a_decrease_stands_out_in_a_table() -> None:
    section = next(
        one for one in ticket_view(*full("uneven", "none")).sections if one.title == "Hood"
    )
    told, _ = tabled(section)
    rows = [item for item in told.items if isinstance(item, Step) and item.coded]
    shaped = {row.row for row in full("uneven", "none")[1].pattern.part(PartName.HOOD).rows
              if any(one.op in DECREASES for one in row.operations)}  # fmt: skip

    assert len(shaped & {row.row for row in rows}) > 50
    for row in rows:
        (line,) = cell_of(row, 0, 100, TABLE_DENSITIES[-1]).lines
        assert {font for _, font in line} == {BOLD if row.row in shaped else REGULAR}
