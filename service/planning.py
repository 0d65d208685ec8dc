"""From what came in to the core's values, and back to what is kept."""

from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

from pydantic import TypeAdapter

from service.bodies import ChecksIn, DogIn, Hood, RatesIn, SwatchIn, YarnIn
from service.errors import UnreadableError
from service.experience import NOTHING, Experience
from service.fields import Body
from service.reading import Reader
from service.wishbodies import wishes_of
from sizing.ballband import ball_findings
from sizing.checks import Diagnosis, Finding, diagnosis_of, findings_of
from sizing.doctor.learn import PUBLISHED, Prior
from sizing.dogs import MORE, Dog, Field, Measurements
from sizing.errors import NotationError, ValueOutOfRangeError
from sizing.fit import taken_of
from sizing.further import Doubt, further_doubts
from sizing.gauge import Swatch, default_hook_mm
from sizing.labour import Labour
from sizing.material import YarnNeed
from sizing.plan import Plan, Request, extras_of
from sizing.price import Price, earns_per_hour
from sizing.rates import FixedMinutes, Pace, Rates
from sizing.stretch import StretchTest
from sizing.swatches import swatch_findings
from sizing.units import LengthUnit, read_weight
from sizing.variants.make import PLAIN, Make
from sizing.yarns import Yarn


@dataclass(frozen=True, slots=True)
class _Told:
    """What was told of a dog, read: the four lengths as far as given, the others, the dog."""

    lengths: dict[Field, float]
    more: dict[str, float]
    dog: Dog


def _weight(text: str, read: Reader) -> float | None:
    try:
        return read_weight(text).value if text.strip() else None
    except NotationError as error:
        read.wrong["weight"] = str(error)
        return None


def _read(measurements: Body, unit: LengthUnit, dog: DogIn) -> _Told:
    """Read all lengths and the weight; every field that cannot be read is named at once."""
    read = Reader(unit)
    given = measurements.model_dump(exclude_none=True)
    wanted = {name: text for name, text in given.items() if text.strip() or name not in MORE}
    lengths = {name: read.needed(name, text) for name, text in wanted.items()}
    weight = _weight(dog.weight, read)
    read.refuse()
    known = {name: mm for name, mm in lengths.items() if mm is not None}
    return _Told(
        {field: known[field.value] for field in Field if field.value in known},
        {name: known[name] for name in MORE if name in known},
        Dog(
            breed=dog.breed or None,
            weight_kg=weight,
            head=dog.head,
            ears=dog.ears,
            coat=dog.coat,
            risks=frozenset(dog.risks),
        ),
    )


def dog_of_core(hood: Hood) -> Dog:
    """Return the dog of a hood whose numbers can be read."""
    return _read(hood.measurements, hood.unit, hood.dog).dog


@dataclass(frozen=True, slots=True)
class Examined:
    """What is odd about the measurements known so far.

    Attributes:
        findings: all there are, on the dog and on each measurement.
        diagnosis: how the four were weighed, or None where none is known.
        further: the doubts about the two others.
    """

    findings: tuple[Finding, ...]
    diagnosis: Diagnosis | None
    further: tuple[Doubt, ...]

    @property
    def ask_owner(self) -> str:
        """Return a message to the owner about the doubtful numbers, or nothing."""
        first = (self.diagnosis.ask_owner if self.diagnosis else None) or ""
        return " ".join([*filter(None, [first]), *(doubt.ask_owner for doubt in self.further)])


def examined(asked: ChecksIn | Hood, prior: Prior = PUBLISHED) -> Examined:
    """Return what is odd about the measurements known so far.

    Args:
        asked: the dog and its lengths.
        prior: what finished hoods have taught of usual lengths.

    Raises:
        UnreadableError: naming each field that cannot be read.
    """
    told = _read(asked.measurements, asked.unit, asked.dog)
    name = asked.dog.name or None
    diagnosis = diagnosis_of(told.dog, told.lengths, asked.unit, name, prior)
    found = findings_of(told.dog, diagnosis)
    further = further_doubts(told.more, told.lengths, asked.unit, found, name)
    return Examined((*found, *(doubt.finding for doubt in further)), diagnosis, further)


def findings_on(asked: ChecksIn, prior: Prior = PUBLISHED) -> tuple[Finding, ...]:
    """Return the findings on the measurements known so far.

    Raises:
        UnreadableError: naming each field that cannot be read.
    """
    return examined(asked, prior).findings


def question_for_owner(hood: Hood, prior: Prior = PUBLISHED) -> str:
    """Return a message to the owner about the doubtful numbers, or nothing."""
    return examined(hood, prior).ask_owner


def yarn_of(asked: YarnIn) -> Yarn:
    """Return a yarn of the core."""
    return Yarn(
        name=asked.name,
        fibres=tuple((share.fibre, share.percent) for share in asked.fibres),
        weight_class=asked.weight_class,
        ball_metres=asked.ball_metres,
        ball_grams=asked.ball_grams,
        ball_price=asked.ball_price,
        lot=asked.lot,
    )


def swatch_of(asked: SwatchIn | None) -> Swatch | None:
    """Return a swatch of the core."""
    if asked is None:
        return None
    given = asked.model_dump()
    given["stretch"] = StretchTest(**given["stretch"]) if given["stretch"] else None
    return Swatch(**given)


def odd_in_swatch(yarn: YarnIn, swatch: SwatchIn) -> str:
    """Return what is odd about the counts of a yarn's swatch, or nothing."""
    told = swatch_of(swatch)
    return " ".join(one.message for one in swatch_findings(yarn_of(yarn), told))


def odd_in_ball(yarn: YarnIn) -> str:
    """Return what is odd about the metres and grams of a yarn's ball, or nothing."""
    return " ".join(one.message for one in ball_findings(yarn_of(yarn)))


def rates_of(asked: RatesIn) -> Rates:
    """Return rates of the core; what is left out has the core's start value."""
    given = asked.model_dump(exclude_none=True)
    given["wage_chosen"] = "wage_per_hour" in given
    given["pace"] = Pace(**given["pace"])
    given["minutes"] = FixedMinutes(**given["minutes"])
    return Rates(**given)


def hook_for(hood: Hood) -> float | None:
    """Return the hook in mm that a hood is worked with: named, the swatch's, or the usual one.

    None for a yarn that cannot be, which is refused where the hood is planned.
    """
    swatch = hood.swatch.hook_mm if hood.swatch else None
    try:
        return hood.hook_mm or swatch or default_hook_mm(yarn_of(hood.yarn))
    except ValueOutOfRangeError:
        return None


def request_of(hood: Hood, rates: RatesIn, known: Experience = NOTHING) -> Request:
    """Return the request that a hood and rates make, with what finished hoods have taught.

    Raises:
        UnreadableError: naming each field that cannot be read or cannot be.
    """
    told = _read(hood.measurements, hood.unit, hood.dog)
    try:
        return Request(
            dog=told.dog,
            measurements=Measurements(
                **{field.value: mm for field, mm in told.lengths.items()}, **told.more
            ),
            yarn=yarn_of(hood.yarn),
            rates=rates_of(rates),
            unit=hood.unit,
            swatch=swatch_of(hood.swatch),
            hook_mm=hood.hook_mm,
            accepted=frozenset(stop.field for stop in hood.accepted),
            wishes=wishes_of(hood.wishes, hood.unit),
            made_before=hood.made_before,
            yarn_learned=known.yarn,
            time_learned=known.time,
            lessons=taken_of(known.lessons, hood.from_fittings),
            prior=known.prior,
        )
    except ValueOutOfRangeError as error:
        raise UnreadableError(str(error), {error.field: str(error)}) from error


def earned_at(plan: Plan, hood: Hood, rates: RatesIn, paid: Decimal) -> Decimal:
    """Return what a price leaves the maker for each hour of a plan's work."""
    own = rates_of(rates)
    extras = extras_of(plan.make, own)
    return earns_per_hour(paid, plan.yarn, yarn_of(hood.yarn), plan.labour, own, extras=extras)


@cache
def _plans() -> TypeAdapter[Plan]:
    return TypeAdapter(Plan)


@cache
def _needs() -> TypeAdapter[YarnNeed]:
    return TypeAdapter(YarnNeed)


@cache
def _labours() -> TypeAdapter[Labour]:
    return TypeAdapter(Labour)


@cache
def _prices() -> TypeAdapter[Price]:
    return TypeAdapter(Price)


@cache
def _makes() -> TypeAdapter[Make]:
    return TypeAdapter(Make)


@cache
def _findings() -> TypeAdapter[tuple[Finding, ...]]:
    return TypeAdapter(tuple[Finding, ...])


def kept_plan(plan: Plan) -> dict[str, Any]:
    """Return a plan as JSON to keep, whole."""
    kept: dict[str, Any] = _plans().dump_python(plan, mode="json")
    return kept


def plan_again(kept: dict[str, Any]) -> Plan:
    """Return a kept plan as it was made."""
    return _plans().validate_python(kept)


def yarn_need_again(kept: dict[str, Any]) -> YarnNeed:
    """Return the kept yarn of a plan."""
    return _needs().validate_python(kept)


def labour_again(kept: dict[str, Any]) -> Labour:
    """Return the kept time of a plan."""
    return _labours().validate_python(kept)


def price_again(kept: dict[str, Any]) -> Price:
    """Return the kept price of a plan."""
    return _prices().validate_python(kept)


def make_again(kept: dict[str, Any] | None) -> Make:
    """Return the kept variants of a plan; an old one has none."""
    return _makes().validate_python(kept) if kept else PLAIN


def kept_findings(findings: tuple[Finding, ...]) -> list[dict[str, Any]]:
    """Return findings as JSON to keep."""
    kept: list[dict[str, Any]] = _findings().dump_python(findings, mode="json")
    return kept


def findings_again(kept: list[dict[str, Any]]) -> tuple[Finding, ...]:
    """Return kept findings as they were."""
    return _findings().validate_python(kept)
