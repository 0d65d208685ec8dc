"""What earlier hoods suggest for this one, in words, and the press that takes or leaves it."""

from dataclasses import dataclass
from typing import Final

from fastapi.responses import RedirectResponse, Response

from service.nextfit import ReasonOut, SuggestionOut
from service.orders import change_order
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages.typed import Typed, last, version_of
from service.web.parts import page_part
from sizing.fit import Taken
from sizing.units import LengthUnit, show_length
from sizing.wearing import Zone

router = page_part("/orders")
SEE_OTHER: Final = 303
_ZONES: Final = {Zone.COLLAR: "collar", Zone.NAPE: "nape", Zone.OPENING: "opening"}


@dataclass(frozen=True, slots=True)
class Suggested:
    """The suggestion in words.

    Attributes:
        taken: whether the hood is planned so already.
        reasons: number of the earlier hood, and how it was.
        changes: a sentence for each length.
        press: what the button says.
        take: what it sends.
    """

    taken: bool
    reasons: tuple[tuple[str, str], ...]
    changes: tuple[str, ...]
    press: str
    take: str


def _reasons(because: list[ReasonOut]) -> tuple[tuple[str, str], ...]:
    told: dict[str, list[str]] = {}
    notes = {one.number: one.note for one in because}
    for one in because:
        told.setdefault(one.number, []).append(f"{_ZONES[one.zone]} {one.felt.value}")
    return tuple(
        (number, ", ".join(parts) + (f": \u201c{notes[number]}\u201d" if notes[number] else ""))
        for number, parts in told.items()
    )


def suggested(found: SuggestionOut | None, unit: LengthUnit) -> Suggested | None:
    """Return a suggestion in words, in the order's unit; None where there is none."""
    if found is None:
        return None
    changes, short = [], []
    for one in found.zones:
        usual, learned = show_length(one.usual, unit), show_length(one.learned, unit)
        way = "looser" if one.learned > one.usual else "tighter"
        changes.append(f"{_ZONES[one.zone].capitalize()} {learned} instead of {usual}: {way}.")
        short.append(f"{_ZONES[one.zone]} {learned}")
    return Suggested(
        taken=found.taken,
        reasons=_reasons(found.because),
        changes=tuple(changes),
        press="Make it as usual" if found.taken else f"Take it: {', '.join(short)}",
        take=(Taken.NONE if found.taken else Taken.ALL).value,
    )


@router.post("/{number}/fitting")
def take(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Plan the hood by what earlier ones taught, or as usual."""
    patch = {"from_fittings": last(typed, "take")}
    with database.writing() as session:
        change_order(session, number, patch, version_of(typed), clock())
    return RedirectResponse(f"/orders/{number}#fit", SEE_OTHER)
