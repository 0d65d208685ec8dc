"""Invented orders of three sizes of dog, and readers of the papers made from them."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache, lru_cache
from io import BytesIO

import pdfplumber
from pdfplumber.page import Page
from pdfplumber.pdf import PDF
from pypdf import PdfReader

from documents import care_sheet, work_ticket
from documents.care_view import care_view
from documents.job import Acceptance, Job, Maker, Taken
from documents.page import Paper
from documents.ticket_view import ticket_view
from sizing.dogs import Dog, Field, HeadType, Measurements, Risk
from sizing.gauge import Swatch
from sizing.plan import Plan, Request, make_plan
from sizing.rates import Rates
from sizing.units import LengthUnit
from sizing.wording import Terms
from sizing.yarns import Fibre, WeightClass, Yarn

Order = tuple[Job, Plan]

MOORLAND = Yarn(
    name="Moorland Soft",
    fibres=((Fibre.COTTON, 40), (Fibre.ACRYLIC, 60)),
    weight_class=WeightClass.MEDIUM,
    ball_metres=170,
    ball_grams=100,
    ball_price=Decimal("6.40"),
    lot="4711",
)
SWATCH = Swatch(13, 14.5, 12.5, 14.5, 5.0)
FIELDS = frozenset({*(field.value for field in Field), "weight", "breed"})


def order(
    dog: Dog,
    lengths: tuple[float, float, float, float],
    *,
    yarn: Yarn = MOORLAND,
    swatch: Swatch | None = None,
    unit: LengthUnit = LengthUnit.CM,
    terms: Terms = Terms.US,
) -> Order:
    """Return an order for a dog; a stop on any length, or on the weight, is accepted."""
    measured = Measurements(*lengths)
    plan = make_plan(Request(dog, measured, yarn, Rates(), unit, swatch, None, FIELDS))
    taken = tuple(
        Taken(field, f"{mm / 10:g}", mm) for field, mm in zip(Field, lengths, strict=True)
    )
    job = Job(
        order_number="2026-031",
        hood_number="0042",
        buyer="Ilka Brandauer",
        dog="Mokka",
        breed=dog.breed or "",
        issued=date(2026, 11, 25),
        maker=Maker("Tamsin Reed", ("3 Weavers Row", "Lower Ashby"), "tamsin@hoods.example"),
        yarn=yarn,
        terms=terms,
        unit=unit,
        measurements=taken,
        due=date(2026, 12, 18),
        link="https://hoods.example/orders/2026-031",
    )
    return job, plan


@cache
def medium() -> Order:
    return order(Dog("Border Collie", 18.0), (110, 380, 110, 480), swatch=SWATCH)


@cache
def untested() -> Order:
    return order(Dog("Border Collie", 18.0), (110, 380, 110, 480))


@cache
def toy() -> Order:
    return order(Dog("Chihuahua", 2.2), (45, 190, 55, 250))


@cache
def giant() -> Order:
    """80 kg, in inches and UK terms."""
    dog = Dog(None, 80.0, HeadType.MASTIFF, risks=frozenset({Risk.HEAT, Risk.CHEWER}))
    return order(dog, (190, 680, 230, 840), unit=LengthUnit.INCH, terms=Terms.UK)


@cache
def fine_giant() -> Order:
    """The largest dog in the finest yarn: the most rows that anyone would work."""
    dog = Dog(None, 104.0, HeadType.MASTIFF)
    yarn = replace(MOORLAND, weight_class=WeightClass.LACE)
    return order(dog, (200, 760, 260, 900), yarn=yarn)


HOSTILE = '<img src="file:///etc/passwd"> & ]]> </para><b>x</b> %s {dog} \\n '


def hostile() -> Order:
    """Every typed text is 5,000 characters of markup."""
    job, plan = medium()
    text = (HOSTILE * 100)[:5000]
    return (
        replace(
            job,
            order_number=text,
            hood_number=text,
            buyer=text,
            dog=text,
            breed=text,
            notes=text,
            wash=text,
            maker=Maker(text, (text,) * 9, text),
            yarn=replace(job.yarn, name=text, lot=text),
            measurements=tuple(replace(one, given=text) for one in job.measurements),
            accepted=(Acceptance("neck_girth", text),),
        ),
        plan,
    )


def foreign() -> Order:
    """Greek, Cyrillic and Vietnamese, which the fonts have."""
    job, plan = medium()
    return (
        replace(
            job,
            dog="Αργύρης",
            buyer="Жанна Ковальчук",
            breed="Łódzki kundelek",
            notes="Мягкий воротник.\nTiếng Việt",
        ),
        plan,
    )


def unprintable() -> Order:
    """Hebrew, Arabic, Chinese, emoji, stacked marks, controls and half a surrogate pair."""
    job, plan = medium()
    return (
        replace(
            job,
            dog="כלב שלי",
            buyer="عمر \u202e\u0000 نص",
            breed="犬 \U0001f415\u200d\U0001f9ba",
            notes="e" + "\u0301" * 40 + " \ud800\n\n\n\ttab",
        ),
        plan,
    )


ORDERS: dict[str, Callable[[], Order]] = {
    "medium": medium,
    "untested": untested,
    "toy": toy,
    "giant": giant,
    "fine giant": fine_giant,
    "hostile": hostile,
    "foreign": foreign,
    "unprintable": unprintable,
}


def ticket(made: Order, paper: Paper = Paper.A4) -> bytes:
    return work_ticket.render(ticket_view(*made), paper)


def care(made: Order, paper: Paper = Paper.A4) -> bytes:
    return care_sheet.render(care_view(*made), paper)


PAPERS: dict[str, Callable[[Order, Paper], bytes]] = {"ticket": ticket, "care": care}


def read(pdf: bytes) -> PdfReader:
    return PdfReader(BytesIO(pdf))


@lru_cache(maxsize=128)  # one paper is read by many tests, and reading takes longest
def texts_of(pdf: bytes) -> tuple[str, ...]:
    """Return the text of each page as pypdf reads it."""
    return tuple(page.extract_text() for page in read(pdf).pages)


def words_of(pdf: bytes) -> str:
    """Return the whole text as pypdf reads it, with single spaces."""
    return " ".join(" ".join(texts_of(pdf)).split())


def plumb(pdf: bytes) -> PDF:
    """Return the second reader, which knows where each letter lies."""
    return pdfplumber.open(BytesIO(pdf))


def overlaps(page: Page) -> list[str]:
    """Return each pair of words on a page that lie over one another."""
    words = sorted(page.extract_words(), key=lambda word: float(word["top"]))
    found = []
    for place, one in enumerate(words):
        for two in words[place + 1 :]:
            if two["top"] > one["bottom"] - 1.0:
                break  # all that follow begin lower still
            if min(one["x1"], two["x1"]) - max(one["x0"], two["x0"]) >= 0.5:
                found.append(f"page {page.page_number}: {one['text']} | {two['text']}")
    return found
