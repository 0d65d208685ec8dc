"""The measuring guide for an owner, decided."""

from dataclasses import dataclass
from typing import Final

from documents import guide_words as words
from documents.guide_words import Tape
from documents.job import Maker
from documents.language import Language, language, mark
from documents.text import Cleaner

LONGEST_NAME: Final = 40
LONGEST_LINE: Final = 70
_ENGLISH: Final = language()
_BLANKS: Final = (mark("Your name"), mark("Breed or mix"), mark("Weight"))


@dataclass(frozen=True, slots=True)
class GuideView:
    """A measuring guide with nothing left to decide.

    Attributes:
        blanks: names of the lines to write on, with what is known already.
        tapes, more: the lengths, and those that may be left out.
        columns: the headings of the two boxes and of the units.
        send: to whom it goes back.
        language: the code of the language that all is said in.
        warnings: what had to be changed in typed texts, for the maker's screen.
    """

    title: str
    heading: str
    below: str
    maker: str
    footer: str
    language: str
    blanks: tuple[tuple[str, str], ...]
    how_title: str
    how: tuple[str, ...]
    tapes: tuple[Tape, ...]
    more: tuple[Tape, ...]
    columns: tuple[str, str, str]
    cautions: tuple[str, ...]
    send: str
    warnings: tuple[str, ...]


def _said(tape: Tape, said: Language) -> Tape:
    return Tape(tape.sign, said.say(tape.name), said.say(tape.where))


def guide_view(maker: Maker, said: Language = _ENGLISH, dog: str = "") -> GuideView:
    """Return the measuring guide.

    Args:
        maker: to whom the numbers go back.
        said: the owner's language.
        dog: the dog's name where it is known.
    """
    cleaner = Cleaner()
    name = cleaner.line(maker.name, "maker", LONGEST_LINE)
    email = cleaner.line(maker.email, "maker", LONGEST_LINE)
    known = cleaner.line(dog, "dog", LONGEST_NAME)
    title = said.say("How to measure your dog for a hood")
    where = ", ".join(part for part in (name, email) if part)
    return GuideView(
        title=title,
        heading=title,
        below=said.say("Four lengths, each taken twice; two more if your dog lets you."),
        maker=name,
        footer=title,
        language=said.code,
        blanks=((said.say("Dog"), known), *((said.say(one), "") for one in _BLANKS)),
        how_title=said.say("How it is done"),
        how=tuple(said.say(line) for line in words.HOW),
        tapes=tuple(_said(tape, said) for _, tape in words.TAPES),
        more=tuple(_said(tape, said) for tape in words.MORE_TAPES),
        columns=(said.say("1st time"), said.say("2nd time"), said.say("unit")),
        cautions=tuple(said.say(line) for line in words.CAUTIONS),
        send=said.say("Please send it back to {maker}.", maker=where) if where else "",
        warnings=tuple(dict.fromkeys(cleaner.warnings)),
    )
