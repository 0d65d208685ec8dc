"""What became of a hood, for the order's page."""

from dataclasses import dataclass
from typing import Final

from service.bodies import OutcomeIn
from service.models import Outcome
from service.web.pages.typed import Kind, Values, flat_of
from service.web.pages.words import Choice
from sizing.fittings import Felt
from sizing.wearing import Zone

FIELDS: Final[dict[str, Kind]] = {
    "grams": Kind.NUMBER,
    "minutes": Kind.NUMBER,
    **{zone.value: Kind.TEXT for zone in Zone},
    "note": Kind.TEXT,
    "sure": Kind.TEXT,
}
LABELS: Final = {
    "grams": "Yarn used, by the scale",
    "minutes": "Time at the hook, without breaks",
    Zone.COLLAR.value: "The collar on the neck was",
    Zone.NAPE.value: "The nape was",
    Zone.OPENING.value: "The opening round the face was",
    "note": "What the buyer said",
}
FELT: Final[tuple[Choice, ...]] = tuple((one.value, one.value) for one in Felt)


@dataclass(frozen=True, slots=True)
class OutcomeView:
    """What was told so far, as the fields of a form, and what the plan had said."""

    values: Values
    told: bool
    said: dict[str, str]


def outcome_view(outcome: Outcome | None) -> OutcomeView:
    """Return what was told of a hood, and what the plan had said of it."""
    if outcome is None:
        return OutcomeView({}, told=False, said={})
    said = {
        name: f"The plan said {outcome.said[name]:.0f}."
        for name in ("grams", "minutes")
        if outcome.said.get(name)
    }
    return OutcomeView(flat_of(OutcomeIn.model_validate(outcome.told)), told=True, said=said)
