"""Messages, dates, money and plurals in another language, and the care sheet in German."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from documents import care_sheet
from documents.care_view import care_view
from documents.fibre_words import fibre_content
from documents.language import language, languages
from documents.page import Paper
from sizing.dogs import Risk
from sizing.yarns import Fibre
from tests.documents.plainness import lix
from tests.documents.samples import care, medium, overlaps, plumb, read, words_of

GERMAN = language("de")


def test_english_comes_first() -> None:
    assert languages()[0] == "en"
    assert "de" in languages()


@pytest.mark.parametrize("code", ["xx", "", "../fonts/OFL", "DE", "de\x00"])
def test_an_unknown_language_is_told_with_those_there_are(code: str) -> None:
    with pytest.raises(ValueError, match=r"There is no language .*There are: en, de"):
        language(code)


def test_a_message_without_a_translation_stands_in_english() -> None:
    assert GERMAN.say("Nobody wrote {this}.", this="it") == "Nobody wrote it."


def test_a_value_is_never_a_message_or_a_placeholder() -> None:
    assert GERMAN.say("Hood {hood}", hood="{dog} %s wool") == "Kapuze {dog} %s wool"


@pytest.mark.parametrize(
    ("number", "said"), [(1, "Farbpartie x"), (2, "Farbpartien x"), (0, "Farbpartien x")]
)
def test_a_number_of_things(number: int, said: str) -> None:
    assert GERMAN.many("Yarn lot {lots}", "Yarn lots {lots}", number, lots="x") == said


def test_dates_money_and_numbers_are_written_as_the_language_does() -> None:
    """Unicode's locale data, as Babel has them."""
    assert GERMAN.date(date(2026, 3, 4)) == "4. März 2026"
    assert GERMAN.money(Decimal("1234.50"), "EUR") == "1.234,50\u00a0€"
    assert GERMAN.number(2.5) == "2,5"
    assert language().date(date(2026, 3, 4)) == "March 4, 2026"


@pytest.mark.parametrize(
    ("fibre", "name"),
    [
        (Fibre.ACRYLIC, "Polyacryl"), (Fibre.WOOL, "Wolle"), (Fibre.ALPACA, "Alpaka"),
        (Fibre.MOHAIR, "Mohair"), (Fibre.CASHMERE, "Kaschmir"), (Fibre.SILK, "Seide"),
        (Fibre.COTTON, "Baumwolle"), (Fibre.LINEN, "Leinen"), (Fibre.VISCOSE, "Viskose"),
        (Fibre.MODAL, "Modal"), (Fibre.LYOCELL, "Lyocell"), (Fibre.POLYAMIDE, "Polyamid"),
        (Fibre.POLYESTER, "Polyester"), (Fibre.ELASTANE, "Elasthan"),
    ],
)  # fmt: skip
def test_a_fibre_has_its_lawful_name(fibre: Fibre, name: str) -> None:
    """EU Regulation 1007/2011, Annex I, the German text with its corrigendum of 18 Oct. 2011."""
    assert fibre_content(GERMAN, ((fibre, 100),)) == f"100 % {name}"


def test_the_largest_share_comes_first_and_equal_ones_by_name() -> None:
    """EU Regulation 1007/2011, Art. 9."""
    fibres = ((Fibre.COTTON, 20), (Fibre.ACRYLIC, 20), (Fibre.WOOL, 60))

    assert fibre_content(GERMAN, fibres) == "60 % Wolle, 20 % Baumwolle, 20 % Polyacryl"
    assert fibre_content(language(), fibres) == "60 % wool, 20 % acrylic, 20 % cotton"


def test_the_german_is_easy_to_read() -> None:
    job, plan = medium()
    known = replace(plan, profile=replace(plan.profile, risks=frozenset(Risk)))
    view = care_view(job, known, "de", buttoned=True, sewn_on=True)

    assert lix(view) < 30


def german(*risks: Risk, dog: str = "Mokka") -> bytes:
    job, plan = medium()
    known = replace(plan, profile=replace(plan.profile, risks=frozenset(risks)))
    return care_sheet.render(care_view(replace(job, dog=dog), known, "de"), Paper.A4)


def test_the_german_sheet_has_no_english_left() -> None:
    """Names apart, no word of it is one of the English sheet."""
    job, plan = medium()
    known = replace(plan, profile=replace(plan.profile, risks=frozenset(Risk)))
    english = care((job, known))
    mine = {word for word in words_of(german(*Risk)).split() if word.isalpha() and len(word) > 3}
    both = mine & set(words_of(english).split())

    assert both <= {"Mokka", "Tamsin", "Reed", "Weavers", "Lower", "Ashby", "November"}
    assert "Seite 1 von" in words_of(german())
    assert "25. November 2026" in words_of(german())


def test_the_german_sheet_is_one_page_for_most_dogs() -> None:
    for risks in ((), (Risk.SHORT_NOSED, Risk.EAR_TROUBLE, Risk.CHEWER)):
        with plumb(german(*risks)) as pdf:
            assert len(pdf.pages) == 1
            assert not overlaps(pdf.pages[0])


def test_a_reader_learns_the_language() -> None:
    assert read(german()).trailer["/Root"]["/Lang"] == "de"  # type: ignore[index]  # a dictionary


def test_a_dog_without_a_name_has_its_cases() -> None:
    text = words_of(german(dog=""))

    assert "Kapuze für deinen Hund" in text
    assert "Lass deinen Hund nie damit schlafen." in text
    assert "Wenn dein Hund daran kratzt" in text
