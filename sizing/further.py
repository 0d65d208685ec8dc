"""The two lengths beside the four, where they were taken: does each go with the face girth?

A hood is made to a measured crown, and a measured head decides whether the collar passes it; so
either, mistaken, spoils a hood whose four lengths are right. Each is weighed by itself beside the
face girth, by the same slips and priors as the four are by `sizing.doctor`. What is usual is
thinner still than there, so what is asked begins far out.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp, log, sqrt
from typing import Final, NamedTuple

from sizing.doctor import spreads
from sizing.doctor.findings import Finding, Kind, Severity
from sizing.doctor.normal import log_density
from sizing.doctor.scale import ANY_NUMBER
from sizing.doctor.slips import (
    FACTORS,
    LONGEST_WRITTEN,
    PRIORS,
    SHORTEST_WRITTEN,
    digits_swapped,
    marks_of,
)
from sizing.doctor.verdict import BAND, RUNNER_UP, STOP_DISTANCE, Usual
from sizing.doctor.weigh import shares_of
from sizing.doctor.words import how_sure, in_words, my_number, percent, too_far
from sizing.dogs import MORE, Field
from sizing.evidence import Fact, derived
from sizing.units import LengthUnit, show_length
from sizing.wearing import HEAD_OF_FACE

CROWN, HEAD = MORE

CROWN_OF_FACE: Final = Fact(
    0.475,
    "of the face girth",
    derived(
        "what the shape gives where no crown was measured: 0.43 to 0.56 over the four head types,"
        " 2 to 90 kg, light and medium yarn; no crown of a dog is published"
    ),
)
_LOG_SD: Final = "SD of the natural log"
CROWN_OWN: Final = Fact(
    0.15, _LOG_SD, derived("judgement: as the nape's, whose ends are felt too; none is published")
)
HEAD_OWN: Final = Fact(
    0.08,
    _LOG_SD,
    derived("judgement: bare or shaggy, with ears that add little or much; none is published"),
)
FURTHER_QUERY: Final = Fact(
    3.0,
    "spreads from the usual",
    derived("0.3 percent of a normal distribution lie beyond: these two are asked after rarely"),
)

NAMES: Final = {CROWN: "crown length", HEAD: "head girth"}
_USUAL: Final = {CROWN: (CROWN_OF_FACE, CROWN_OWN), HEAD: (HEAD_OF_FACE, HEAD_OWN)}
_AGAIN: Final = {
    CROWN: "crown again, please, from the top of the nape over the head to the brow",
    HEAD: "head again, please, all the way round, where it is widest",
}
_BASIS: Final = (
    "the face girth of this order; no crown and no widest head of dogs is published, so this is"
    " judgement, and asked only where it is far off"
)


@dataclass(frozen=True, slots=True)
class Doubt:
    """What is odd about one of the two.

    Attributes:
        name: of the measurement, one of `sizing.dogs.MORE`.
        kind: what most probably happened.
        finding: what the maker is told.
        ask_owner: a message ready to send.
    """

    name: str
    kind: Kind
    finding: Finding
    ask_owner: str


@dataclass(frozen=True, slots=True)
class _Beside:
    """The length that a face girth lets expect, in mm, and its spread as SD of the log."""

    middle: float
    spread: float

    def distance(self, mm: float) -> float:
        return log(mm / self.middle) / self.spread

    def density(self, mm: float) -> float:
        """Return the log of the density of ln mm."""
        return log_density(1, 2 * log(self.spread), self.distance(mm) ** 2)

    @property
    def usual(self) -> Usual:
        reach = exp(BAND.value * self.spread)
        return Usual(self.middle / reach, self.middle, self.middle * reach)


def _beside(name: str, face: float) -> _Beside:
    share, own = _USUAL[name]
    middle = face * share.value
    # The tape was laid twice: round the face, and here.
    taped = sum(
        spreads.TAPE_SHARE.value**2 + (spreads.TAPE_PLACE.value / mm) ** 2 for mm in (face, middle)
    )
    return _Beside(middle, sqrt(own.value**2 + taped))


def _meant(name: str, mm: float, unit: LengthUnit) -> dict[Kind, float]:
    """Return what each slip would make the length to have been, in mm."""
    meant = {kind: mm * exp(factor) for kind, factor in FACTORS.items()}
    swapped = digits_swapped(mm, unit)
    if swapped:
        meant[Kind.DIGITS] = swapped
    if name == HEAD:
        meant[Kind.HALF] = 2 * mm
    written = (SHORTEST_WRITTEN.value, LONGEST_WRITTEN.value)
    return {kind: one for kind, one in meant.items() if written[0] <= one <= written[1]}


class _Slip(NamedTuple):
    """What may have happened, what was meant in mm where that tells, and how probable it is."""

    kind: Kind
    meant: float | None
    probability: float


def _weighed(mm: float, meant: Mapping[Kind, float], beside: _Beside) -> list[_Slip]:
    """Return the slips that may have happened, the likeliest first."""
    chance = {kind: PRIORS[kind].value for kind in (*meant, Kind.UNKNOWN)}
    ends = marks_of(mm)
    logs = {
        kind: log(chance[kind]) + beside.density(one) + ends.get(kind, 0.0)
        for kind, one in meant.items()
    }
    logs[Kind.UNKNOWN] = log(chance[Kind.UNKNOWN]) + ANY_NUMBER
    true = log(1 - sum(chance.values())) + beside.density(mm)
    shares = shares_of([*logs.values(), true])
    found = [_Slip(kind, meant.get(kind), one) for kind, one in zip(logs, shares, strict=False)]
    return sorted(found, key=lambda one: -one.probability)


def _why(slips: Sequence[_Slip], mm: float, unit: LengthUnit) -> str:
    """Return what may have happened in words: the likeliest, and the next if it is near."""
    first, second = slips[:2]
    said = in_words(first.kind, mm, first.meant, unit)
    if first.meant:
        said += f" That is {how_sure(first.probability)}."
    if second.meant and second.probability > RUNNER_UP.value * first.probability:
        other = in_words(second.kind, mm, second.meant, unit)
        said += f" Or else ({percent(second.probability)}): {other}"
    return said


def _doubt(
    name: str, mm: float, face: float, unit: LengthUnit, severity: Severity, whose: str
) -> Doubt:
    beside = _beside(name, face)
    slips = _weighed(mm, _meant(name, mm, unit), beside)
    kind, meant, _ = slips[0]
    usual = beside.usual
    what = f"{NAMES[name]} beside a face girth of {show_length(face, unit)}"
    said = f"{too_far(mm, usual, unit, what)} {_why(slips, mm, unit)}"
    told = my_number(kind, mm, usual, unit, NAMES[name])
    ask = f"Could you measure {whose} {_AGAIN[name]}? {told}"
    suggestion = show_length(meant, unit) if meant else None
    finding = Finding(name, severity, said, usual.low, usual.high, meant, suggestion, _BASIS)
    return Doubt(name, kind, finding, ask)


def _severity(name: str, mm: float, faces: Sequence[float]) -> Severity | None:
    off = min(abs(_beside(name, face).distance(mm)) for face in faces)
    if off <= FURTHER_QUERY.value:
        return None
    return Severity.STOP if off > STOP_DISTANCE.value else Severity.QUERY


def further_doubts(
    more: Mapping[str, float],
    lengths: Mapping[Field, float],
    unit: LengthUnit,
    found: Sequence[Finding] = (),
    name: str | None = None,
) -> tuple[Doubt, ...]:
    """Return what is odd about a crown length and a head girth.

    Args:
        more: those of the two that were taken, in mm.
        lengths: the four, in mm, as far as they are known; without a face girth nothing is said.
        unit: the order's unit, in which the sentences speak.
        found: what is odd about the four. Where that is the face girth, neither of the two is
            blamed as long as it goes with the face that was probably meant.
        name: the dog's name, for the message to its owner.
    """
    face = lengths.get(Field.FACE_GIRTH)
    if face is None:
        return ()
    likely = [one.suggestion_mm for one in found if one.field == Field.FACE_GIRTH]
    faces = [face, *(mm for mm in likely if mm)]
    whose = f"{name or 'your dog'}'s"
    return tuple(
        _doubt(one, mm, face, unit, severity, whose)
        for one, mm in more.items()
        if (severity := _severity(one, mm, faces)) is not None
    )
