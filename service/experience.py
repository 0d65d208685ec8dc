"""What the maker's finished hoods have taught, read back for the next one."""

from collections import OrderedDict
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Any, Final

from sqlalchemy import Connection, bindparam
from sqlalchemy import select as columns
from sqlmodel import Session, col, select

from service.bodies import OutcomeIn
from service.models import Learned, Order, Outcome, columns_of
from service.told import Row, Told, read, rows_of
from sizing.calibrate import MAKER, YARNS_APART, hood_observation
from sizing.doctor.learn import PUBLISHED, Prior
from sizing.doctor.prior import Offset
from sizing.dogs import Field, HeadType
from sizing.fit import PLAIN_LESSONS, Lessons
from sizing.fittings import Fitting, lessons_of
from sizing.labour import UNTIMED
from sizing.shrink import Belief, Observation, learned, learned_among
from sizing.timing import hood_time_observation
from sizing.wearing import Zone

_KEPT_MOST: Final = 64
"""Answers to what outcomes have taught that are kept."""


@dataclass(frozen=True, slots=True)
class Experience:
    """What finished hoods say of the next one: yarn, time, fit, and usual lengths."""

    yarn: Belief | None = None
    time: Belief | None = None
    lessons: Lessons = PLAIN_LESSONS
    prior: Prior = PUBLISHED


NOTHING: Final = Experience()
"""Before any hood was finished."""


# Built once, as the next: each page of an order asks them.
_OUTCOME: Final = select(Outcome).where(col(Outcome.order_id) == bindparam("order"))
_FELT: Final = (
    select(Order.number, Outcome)
    .join(Outcome, col(Outcome.order_id) == col(Order.id))
    .where(col(Outcome.dog_id) == bindparam("dog"))
    .order_by(col(Outcome.id).desc())
)


def outcome_of(session: Session, order_id: int | None) -> Outcome | None:
    """Return what was told of an order's hood, or None."""
    return session.exec(_OUTCOME, params={"order": order_id}).first()


_LEARNED: Final = columns(columns_of(Learned).offsets).where(columns_of(Learned).id == 1)


def prior_of(on: Session | Connection) -> Prior:
    """Return what was learned of usual lengths; the published figures where nothing was."""
    kept = on.execute(_LEARNED).scalar()
    if not kept:
        return PUBLISHED
    offsets, seen, squared = dict(PUBLISHED.offsets), 0, 0.0
    for one in kept:
        if "seen" in one:
            seen, squared = one["seen"], one["squared"]
        else:
            key = (Field(one["field"]), HeadType(one["head"]))
            offsets[key] = Offset(one["mean"], one["variance"])
    return Prior(offsets, seen, squared)


def weighed(outcome: Outcome | Told) -> Observation | None:
    """Return what an outcome says of the yarn, or None where it says nothing to learn from."""
    grams, model = outcome.told.get("grams"), outcome.said.get("grams")
    return _plausible(hood_observation(model, grams)) if grams and model else None


def timed(outcome: Outcome | Told) -> Observation | None:
    """Return what an outcome says of the time, or None where it says nothing to learn from."""
    minutes, model = outcome.told.get("minutes"), outcome.said.get("minutes")
    return _plausible(hood_time_observation(model, minutes)) if minutes and model else None


def _plausible(one: Observation) -> Observation | None:
    return one if one.plausible else None


def felt(outcome: Outcome | Told) -> tuple[Fitting, ...]:
    """Return how an outcome's zones were felt."""
    told = OutcomeIn.model_validate(outcome.told)
    found = []
    for zone in Zone:
        how, worn = getattr(told, zone.value), outcome.said.get("zones", {}).get(zone.value)
        if how and worn:
            found.append(Fitting(zone, worn["ratio"], worn["usual"], how))
    return tuple(found)


def felt_by(session: Session, dog: int) -> list[tuple[str, Outcome]]:
    """Return what was told of a dog's hoods, each with its order's number, the newest first."""
    return list(session.exec(_FELT, params={"dog": dog}))


def _strand(yarn: str, hook_mm: float | None) -> str:
    return f"{yarn} {hook_mm or 0:g}"


def _yarn(outcomes: list[Told], yarn: str, hook_mm: float | None) -> Belief | None:
    """Return what is believed of a yarn on a hook; a hood whose hook was not kept had this one."""
    groups: dict[str, tuple[Observation, ...]] = {}
    for one in outcomes:
        if seen := weighed(one):
            strand = _strand(one.yarn, one.said.get("hook_mm") or hook_mm)
            groups[strand] = (*groups.get(strand, ()), seen)
    own = _strand(yarn, hook_mm)
    return learned_among(MAKER, YARNS_APART.value, groups, own) if groups else None


def _lessons(outcomes: list[Told], dog: int | None) -> Lessons:
    dogs: dict[str, tuple[Fitting, ...]] = {}
    for one in outcomes:
        if fittings := felt(one):
            dogs[str(one.dog_id)] = (*dogs.get(str(one.dog_id), ()), *fittings)
    return lessons_of(dogs, str(dog))


_kept: OrderedDict[tuple[bytes, str, float | None, int | None], Experience] = OrderedDict()
"""What outcomes have taught, by a digest of all that was told: none can be out of date."""


def _taught(rows: list[Row], yarn: str, hook_mm: float | None, dog: int | None) -> Experience:
    outcomes = read(rows)
    seen = [one for one in map(timed, outcomes) if one]
    return Experience(
        yarn=_yarn(outcomes, yarn, hook_mm),
        time=learned(UNTIMED, seen) if seen else None,
        lessons=_lessons(outcomes, dog),
    )


def experience(
    session: Session, yarn: str, dog: int | None, hook_mm: float | None = None
) -> Experience:
    """Return what finished hoods say of the next one in a yarn, on a hook, for a dog."""
    rows, prior = rows_of(session), prior_of(session)
    if not rows:
        return Experience(prior=prior)
    own = dog if any(row[1] == dog for row in rows) else None
    key = (sha256(repr(rows).encode()).digest(), yarn, hook_mm, own)
    found = _kept.get(key)
    if found is None:
        found = _kept[key] = _taught(rows, yarn, hook_mm, own)
        while len(_kept) > _KEPT_MOST:
            _kept.popitem(last=False)
    return replace(found, prior=prior)


def kept_offsets(prior: Prior) -> list[dict[str, Any]]:
    """Return what was learned of usual lengths as it is kept, their spread as the last."""
    offsets: list[dict[str, Any]] = [
        {"field": field.value, "head": head.value, "mean": one.mean, "variance": one.variance}
        for (field, head), one in prior.offsets.items()
        if one != PUBLISHED.offsets[field, head]
    ]
    return [*offsets, {"seen": prior.seen, "squared": prior.squared}] if prior.seen else offsets


def odd_in(outcome: Outcome) -> dict[str, str]:
    """Return what is too far from the plan to be believed at once, by field."""
    wrong: dict[str, str] = {}
    pairs = (("grams", "g", hood_observation), ("minutes", "minutes", hood_time_observation))
    for name, unit, observe in pairs:
        told, said = outcome.told.get(name), outcome.said.get(name)
        if told and said and not observe(said, told).plausible:
            wrong[name] = (
                f"The plan said about {said:.0f} {unit}, and this is {told:g}. If it is so, say"
                " that you are sure; it is kept, and nothing is learned from it."
            )
    return wrong
