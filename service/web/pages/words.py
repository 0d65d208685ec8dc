"""The words of the pages: what the trade calls things, and what a choice means."""

from collections.abc import Iterable
from datetime import date
from enum import Enum
from typing import Final

from documents.language import languages, own_name
from service.states import MOVES, State
from sizing.checks import NAMES, Severity
from sizing.dogs import Coat, EarCarriage, Field, HeadType, Risk
from sizing.further import CROWN, HEAD
from sizing.money import MINOR_UNITS
from sizing.yarns import Fibre, WeightClass

Choice = tuple[str, str]
"""A value and what the maker reads for it."""


def capital(text: str) -> str:
    """Return the text with a capital letter first and the rest as it is."""
    return text[:1].upper() + text[1:]


def _named(members: Iterable[Enum]) -> tuple[Choice, ...]:
    return tuple((str(member.value), capital(str(member.value))) for member in members)


HEADS: Final[tuple[Choice, ...]] = (
    (HeadType.LONG.value, "Long and narrow"),
    (HeadType.MEDIUM.value, "Medium"),
    (HeadType.SHORT.value, "Short, flat face"),
    (HeadType.MASTIFF.value, "Broad and heavy"),
)
EARS: Final = _named(EarCarriage)
COATS: Final = _named(Coat)
RISKS: Final[tuple[Choice, ...]] = (
    (Risk.SHORT_NOSED.value, "Short-nosed or breathes loudly"),
    (Risk.HEAT.value, "Suffers in warmth"),
    (Risk.EAR_TROUBLE.value, "Ear trouble"),
    (Risk.EYE_OR_THROAT.value, "Eye, throat or windpipe trouble"),
    (Risk.PUPPY.value, "Still growing"),
    (Risk.CHEWER.value, "Chews what it wears"),
    (Risk.THICK_COAT.value, "Thick coat under the hood"),
)
FIBRES: Final = _named(Fibre)
WEIGHTS: Final[tuple[Choice, ...]] = tuple(
    (str(int(member)), f"{int(member)}, {member.name.replace('_', ' ').lower()}")
    for member in WeightClass
)
CURRENCIES: Final[tuple[Choice, ...]] = tuple((code, code) for code in sorted(MINOR_UNITS))
STATES: Final = _named(State)

PROFITS: Final[tuple[Choice, ...]] = (
    ("margin", "margin, of the price"),
    ("markup", "markup, of the cost"),
)
ALLOWANCES: Final[tuple[Choice, ...]] = (("shift", "the whole shift"), ("work", "the work alone"))
TAX_QUOTED: Final[tuple[Choice, ...]] = (
    ("inclusive", "with the tax in them"),
    ("exclusive", "before the tax"),
)

COLLARS: Final[tuple[Choice, ...]] = (
    ("joined", "joined to a tube"),
    ("looser", "so loose that it goes over the head"),
    ("buttoned", "opening, with buttons"),
)
EDGINGS: Final[tuple[Choice, ...]] = (
    ("sc", "single crochet (UK: double crochet)"),
    ("sl_st", "slip stitch"),
)
SHAPES: Final[tuple[Choice, ...]] = (
    ("disc", "flat disc"),
    ("cone", "cone, for a horn"),
    ("tube", "tube"),
    ("leaf", "leaf, for an ear"),
)
LANGUAGES: Final[tuple[Choice, ...]] = tuple((code, own_name(code)) for code in languages())
HANDS: Final[tuple[Choice, ...]] = (("right", "right hand"), ("left", "left hand"))
TURNS: Final[tuple[Choice, ...]] = (("0", "no chain"), ("1", "chain 1"))

TAPE: Final[dict[Field, str]] = {
    Field.NECK_LENGTH: "Along the neck, from below the ear to where the collar shall end.",
    Field.NECK_GIRTH: "Round the neck where the collar will lie; snug, not tight.",
    Field.NAPE_LENGTH: "Up the back of the head, from the neck to the crown.",
    Field.FACE_GIRTH: "From under the chin, over the top of the head and back.",
}
"""Where the tape goes, in one line each."""

MORE_MEASURES: Final = (
    (CROWN, capital(NAMES[CROWN]), "From the top of the nape over the head to the brow."),
    (HEAD, capital(NAMES[HEAD]), "Round the head where it is widest: the collar must pass it."),
)
MEASURES: Final = tuple((field.value, capital(NAMES[field]), TAPE[field]) for field in Field)

SEVERITY: Final = {
    Severity.STOP.value: "To settle",
    Severity.QUERY.value: "Look again",
    Severity.NOTE.value: "Note",
}

_MOVES: Final[dict[tuple[State, State], str]] = {
    (State.ENQUIRY, State.QUOTED): "The price is sent",
    (State.ENQUIRY, State.ACCEPTED): "The buyer said yes",
    (State.QUOTED, State.ACCEPTED): "The buyer said yes",
    (State.ACCEPTED, State.MAKING): "Begin the hood",
    (State.MAKING, State.FINISHED): "The hood is finished",
    (State.FINISHED, State.HANDED_OVER): "Handed over to the buyer",
    (State.CANCELLED, State.ENQUIRY): "Take it up again",
}
ROAD: Final = (
    State.ENQUIRY,
    State.QUOTED,
    State.ACCEPTED,
    State.MAKING,
    State.FINISHED,
    State.HANDED_OVER,
)
CLOSED: Final = frozenset({State.FINISHED, State.HANDED_OVER, State.CANCELLED})


def move_words(old: State, new: State) -> str:
    """Return what the button for a move says."""
    if new is State.CANCELLED:
        return "Cancel the order"
    return _MOVES.get((old, new), f"Back to {new.value}")


def next_move(state: State) -> State | None:
    """Return the step that leads on along the road, or None at its end or beside it."""
    first = MOVES[state][0]
    onward = state in ROAD and first in ROAD and ROAD.index(first) > ROAD.index(state)
    return first if onward else None


def due_words(due: date | None, today: date, state: State) -> str:
    """Return how near the due date is, as long as that matters."""
    if due is None or state in CLOSED:
        return ""
    days = (due - today).days
    if days < 0:
        return "1 day late" if days == -1 else f"{-days} days late"
    near = {0: "today", 1: "tomorrow"}
    return near.get(days, f"in {days} days")
