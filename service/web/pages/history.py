"""What happened to an order, in plain sentences."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from service.orderout import EventOut
from service.web.pages.words import capital
from sizing.ballband import NAMES as OF_BALL
from sizing.checks import NAMES
from sizing.swatches import NAMES as OF_SWATCH

_DOUBTED: Final = NAMES | OF_SWATCH | OF_BALL
CALLED: Final[dict[str, str]] = {
    **NAMES,
    "buyer": "the buyer",
    "dog": "the dog",
    "yarn": "the yarn",
    "swatch": "the swatch",
    "due": "the due date",
    "notes": "the notes",
    "terms": "the crochet terms",
    "unit": "the unit",
    "hook_mm": "the hook",
    "head": "the head",
    "ears": "the ears",
    "coat": "the coat",
    "risks": "what to mind",
    "wishes": "how it is made",
    "made_before": "hoods of this kind made before",
    "language": "the language of the buyer",
    "from_fittings": "what earlier hoods taught of the fit",
}
"""What each part of an order is called in its history."""
_TOLD: Final = ("grams", "minutes", "collar", "nape", "opening")
_WHOLE: Final = {"measurements": "", "dog": "the dog's ", "buyer": "the buyer's "}
"""Parts whose changes are told field by field, and how each begins."""
_LONGEST: Final = 120


@dataclass(frozen=True, slots=True)
class Happening:
    """A moment, what happened in it, and by whom; the note is what the maker added."""

    at: datetime
    text: str
    note: str
    by: str


def _value(value: object) -> str:
    if value in (None, "", [], {}):
        return "nothing"
    text = ", ".join(map(str, value)) if isinstance(value, list) else str(value)
    return f"“{text[:_LONGEST]}”"


def _accepted(old: list[dict[str, Any]] | None, new: list[dict[str, Any]] | None) -> Iterator[str]:
    before = {stop["field"] for stop in old or ()}
    for stop in new or ():
        if stop["field"] not in before:
            name = _DOUBTED.get(stop["field"], stop["field"])
            yield f"{name} accepted as it is: {_value(stop['reason'])}"
    for name in sorted(before - {stop["field"] for stop in new or ()}):
        yield f"{_DOUBTED.get(name, name)} no longer accepted as it was"


def _inside(prefix: str, old: dict[str, Any], new: dict[str, Any]) -> Iterator[str]:
    for key, value in new.items():
        if old.get(key) != value:
            part = CALLED.get(key, key).removeprefix("the ")
            yield f"{prefix}{part} from {_value(old.get(key))} to {_value(value)}"


def _parts(name: str, old: Any, new: Any) -> Iterator[str]:  # noqa: ANN401 - as kept in JSON
    """Yield the changes inside one part of an order."""
    label = CALLED.get(name, name)
    if name == "accepted":
        yield from _accepted(old, new)
    elif name in _WHOLE and isinstance(old, dict) and isinstance(new, dict):
        yield from _inside(_WHOLE[name], old, new)
    elif name == "yarn" and isinstance(new, dict):
        yield f"{label} to {_value(new.get('name'))}"
    elif isinstance(new, dict) or isinstance(old, dict):
        yield f"{label} {'changed' if new else 'taken out'}"
    else:
        yield f"{label} from {_value(old)} to {_value(new)}"


def _sentence(event: EventOut) -> str:
    if event.kind == "taken":
        return "The order was taken."
    if "said" in event.change:
        return str(event.change["said"])
    if event.kind == "outcome":
        told = [f"{name} {pair[1]}" for name, pair in event.change.items() if name in _TOLD]
        return f"What became of it: {', '.join(told)}." if told else "What became of it was told."
    if event.kind == "moved":
        old, new = event.change["state"]
        return f"Moved from “{old}” to “{new}”."
    said = [
        part
        for name, pair in event.change.items()
        if isinstance(pair, list) and len(pair) == 2  # noqa: PLR2004 - from and to
        for part in _parts(name, *pair)
    ]
    return f"{capital('; '.join(said))}." if said else f"{capital(event.kind)}."


def happenings(events: list[EventOut]) -> tuple[Happening, ...]:
    """Return what happened, the latest first."""
    told = [Happening(event.at, _sentence(event), event.note, event.by) for event in events]
    return tuple(reversed(told))
