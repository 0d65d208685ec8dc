"""Typed text: drawn as typed, cut in sight, never lost in silence."""

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from documents.fonts import BOLD, REGULAR, has_glyph, width
from documents.setting import together
from documents.text import ELLIPSIS, MISSING, Cleaner, fit, isolated, wrap, wrap_phrases, wrap_runs

anything = st.text(st.characters(codec=None), max_size=300)


@settings(deadline=None)
@given(text=anything, most=st.integers(2, 80))
def test_a_line_is_drawable_short_and_one_line(text: str, most: int) -> None:
    line = Cleaner().line(text, "notes", most)

    assert len(line) <= most
    assert all(has_glyph(sign) for sign in line)
    assert not any(unicodedata.category(sign) in ("Cc", "Cf", "Zl", "Zp") for sign in line)


@settings(deadline=None)
@given(text=anything)
def test_whatever_is_replaced_is_reported(text: str) -> None:
    cleaner = Cleaner()
    line = cleaner.line(text, "notes", 1000)

    told = any("cannot be printed" in warning for warning in cleaner.warnings)

    assert (MISSING in line) == (told or MISSING in text)


@pytest.mark.parametrize(
    "text",
    ["Mokka", "Żółć ő ß", "Αργύρης", "Жанна", "Tiếng Việt", "½ ⅛ € ° ±", "<b>&amp;</b> ]]>"],
)
def test_what_the_fonts_have_stays_as_it_is(text: str) -> None:
    cleaner = Cleaner()

    assert cleaner.line(text, "dog", 80) == text
    assert cleaner.warnings == []


def test_composed_and_taken_apart_letters_are_the_same() -> None:
    assert Cleaner().line("e\u0301", "dog", 80) == "é"


def test_a_tower_of_marks_is_cut_down() -> None:
    cleaner = Cleaner()

    assert len(cleaner.line("a" + "\u0324" * 50, "dog", 80)) <= 3
    assert cleaner.warnings == ["dog: a letter keeps 2 accents, the rest is cut."]


def test_format_signs_and_controls_leave_no_trace() -> None:
    assert Cleaner().line("Mo\u202ek\u200bka\u0000\ufe0f  x", "dog", 80) == "Mokka x"


def test_a_cut_is_seen_and_told() -> None:
    cleaner = Cleaner()

    assert cleaner.line("abcdefghij", "buyer", 5) == "abcd" + ELLIPSIS
    assert cleaner.warnings == ["buyer: cut to 5 characters."]


def test_missing_signs_are_named() -> None:
    cleaner = Cleaner()

    assert cleaner.line("犬 Bo", "dog", 80) == f"{MISSING} Bo"
    assert cleaner.warnings == [
        (
            f"dog: 犬 (U+72AC) cannot be printed; shown as {MISSING}. Write it in Latin, Greek or"
            " Cyrillic letters."
        )
    ]


@pytest.mark.parametrize(
    ("text", "named"),
    [("כלב", "ב (U+05D1), כ (U+05DB), ל (U+05DC)"), ("كلب", "U+0628"), ("\U0001f415", "U+1F415"),
     ("\ud800", "U+D800"), ("☐", "☐ (U+2610)"), ("\u0bbe", "U+0BBE")],
)  # fmt: skip
def test_no_sign_goes_missing_in_silence(text: str, named: str) -> None:
    cleaner = Cleaner()
    line = cleaner.line(text, "dog", 80)

    assert set(line) == {MISSING}
    assert named in cleaner.warnings[0]
    cleaner.warnings[0].encode()  # half a surrogate pair is named, never passed on


def test_lines_stay_lines_and_blank_ones_go() -> None:
    assert Cleaner().lines("a\r\n\n\n b \u2028c", "notes", 80) == ("a", "b", "c")


@settings(deadline=None)
@given(text=st.text(max_size=200), room=st.floats(30, 400), font=st.sampled_from([REGULAR, BOLD]))
def test_no_line_is_wider_than_its_room(text: str, room: float, font: str) -> None:
    clean = Cleaner().line(text, "notes", 200)
    lines = wrap(clean, font, 10, room)

    assert all(width(line, font, 10) <= room + 0.01 for line in lines)
    assert "".join(lines).replace(" ", "") == clean.replace(" ", "")


def test_surplus_lines_are_cut_in_sight() -> None:
    lines = wrap("one two three four five six", REGULAR, 10, 40, 2)

    assert len(lines) == 2
    assert lines[-1].endswith(ELLIPSIS)
    assert width(lines[-1], REGULAR, 10) <= 40


def test_a_text_is_fitted_to_its_room() -> None:
    assert fit("Mokka", REGULAR, 10, 400) == "Mokka"
    assert fit("Mokka Mokka Mokka", REGULAR, 10, 40).endswith(ELLIPSIS)
    assert width(fit("Mokka Mokka Mokka", REGULAR, 10, 40), REGULAR, 10) <= 40


def test_runs_keep_their_fonts_and_spaces() -> None:
    lines = wrap_runs((("one two", REGULAR), ("three", BOLD)), 10, 400)

    assert lines == ((("one two ", REGULAR), ("three", BOLD)),)


def test_a_phrase_moves_to_the_next_line_as_a_whole() -> None:
    phrases = (("one two,", REGULAR), ("three four,", BOLD), ("five six.", REGULAR))
    room = width("one two, three four,", BOLD, 10) + 1
    lines = wrap_phrases([(phrase,) for phrase in phrases], 10, room)

    assert ["".join(text for text, _ in line) for line in lines] == [
        "one two, three four,",
        "five six.",
    ]


def test_a_screen_has_letters_that_no_font_here_has() -> None:
    cleaner = Cleaner(on_screen=True)

    assert cleaner.line("כלב 犬 \U0001f415", "dog", 80) == "כלב 犬 \U0001f415"
    assert cleaner.warnings == []
    assert cleaner.line("\ud800 \ue000", "dog", 80) == f"{MISSING} {MISSING}"
    assert "U+D800, U+E000 cannot be printed" in cleaner.warnings[0]


def test_a_name_of_the_other_direction_is_kept_apart() -> None:
    assert isolated("Mokka") == "Mokka"
    assert isolated("כלב") == "\u2068כלב\u2069"


def test_no_word_stands_alone_on_the_last_line() -> None:
    text = "The hood is worn only under supervision: ask your vet."
    room = width(text, BOLD, 12) - 1

    assert wrap(text, BOLD, 12, room)[-1] == "vet."
    assert together(text, BOLD, 12, room)[-1] == "your vet."
    assert " ".join(together(text, BOLD, 12, room)) == text
    assert together("vet " * 2 + "veterinarian", BOLD, 12, 80)[-1] == "veterinarian"
