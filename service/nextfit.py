"""What earlier hoods of a dog taught of its fit, as a suggestion for the next one.

What loosens a hood is taken at once, for a tight one can hurt; what would tighten it waits for
the maker. Either can be taken or left, as long as nothing is on the hook.
"""

from collections.abc import Iterator
from typing import Final

from sqlmodel import Session

from service.experience import experience, felt, felt_by
from service.models import Outcome
from service.orders import Found
from service.planbodies import Out
from service.states import EDITABLE
from sizing.fit import Reduction, reduction, taught
from sizing.fittings import Felt
from sizing.plan import Plan
from sizing.wearing import Zone

LEAST_MM: Final = 1.0
"""What is nearer than this is the same length on a tape."""


class ZoneOut(Out):
    """A length of the hood lying relaxed, in mm: as usual, as learned, and as it is planned."""

    zone: Zone
    usual: float
    learned: float
    planned: float


class ReasonOut(Out):
    """How an earlier hood was felt, and what was said of it."""

    number: str
    zone: Zone
    felt: Felt
    note: str


class SuggestionOut(Out):
    """What earlier hoods suggest for this one; `taken` where it is planned so."""

    taken: bool
    zones: list[ZoneOut]
    because: list[ReasonOut]


def _less(of: Reduction, zone: Zone) -> float:
    return {Zone.COLLAR: of.collar, Zone.NAPE: of.nape, Zone.OPENING: of.opening}[zone]


def _aims(plan: Plan) -> dict[Zone, float]:
    aim = plan.target
    return {
        Zone.COLLAR: aim.collar_girth,
        Zone.NAPE: aim.nape,
        Zone.OPENING: aim.face_opening,
    }


def _zones(plan: Plan, usual: Reduction, learned: Reduction) -> Iterator[ZoneOut]:
    """Yield the lengths that earlier hoods make another."""
    for zone, planned in _aims(plan).items():
        body = planned / (1 - _less(plan.less, zone))
        as_usual, as_learned = (body * (1 - _less(of, zone)) for of in (usual, learned))
        # A collar that must go over the head is wider than either would make it.
        wider = planned - max(as_usual, as_learned) >= LEAST_MM
        if abs(as_usual - as_learned) >= LEAST_MM and not wider:
            yield ZoneOut(zone=zone, usual=as_usual, learned=as_learned, planned=planned)


def _reasons(told: list[tuple[str, Outcome]]) -> Iterator[ReasonOut]:
    for number, outcome in told:
        for one in felt(outcome):
            note = outcome.told.get("note", "")
            yield ReasonOut(number=number, zone=one.zone, felt=one.felt, note=note)


def suggestion_for(session: Session, found: Found) -> SuggestionOut | None:
    """Return what a dog's earlier hoods suggest for an order; None where they suggest nothing."""
    order, plan = found.order, found.plan
    if order.state not in EDITABLE or plan is None or plan.fit is None:
        return None
    because = list(_reasons(felt_by(session, order.dog_id)))
    if not because:
        return None
    usual = reduction(plan.fit.stretch, plan.profile.risks)
    lessons = experience(session, order.asked["yarn"]["name"], order.dog_id).lessons
    zones = list(_zones(plan, usual, taught(usual, lessons)))
    if not zones:
        return None
    taken = all(abs(one.planned - one.learned) < LEAST_MM / 2 for one in zones)
    return SuggestionOut(taken=taken, zones=zones, because=because)
