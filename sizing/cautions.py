"""What the maker should know about the fit before the yarn is cut.

Sentences like findings, on the hood and not on a measurement: they block nothing.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from sizing.doctor.findings import Severity
from sizing.dogs import Risk
from sizing.evidence import Fact, derived, published
from sizing.fit import GENTLE_FOR
from sizing.stretch import MOST_GROWTH, Stretch
from sizing.surety import Surety
from sizing.units import LengthUnit, show_length
from sizing.wearing import HEAD_OF_FACE, Passage, Verdict, Worn, Zone

SURE_ENOUGH: Final = Fact(
    0.8, "probability", derived("judgement: one hood in five that must be forced is too many")
)
FINEST: Final = Fact(3, "ways to write a percent", derived("no tape tells hundredths apart"))
_PRESSURE: Final = published(
    "Bailey, Packer and Wills 2025, Vet Med Sci 11(3): a collar alone raised the pressure in the"
    " eyes of short-nosed dogs at rest; Pauli et al. 2006, JAAHA 42:207-211: no neck pressure for"
    " dogs with weak eyes. No limit is published"
)
_NAMES: Final = {Zone.COLLAR: "collar", Zone.NAPE: "nape", Zone.OPENING: "opening round the face"}
_LOOSE: Final = {
    Zone.COLLAR: "it will slide and turn",
    Zone.NAPE: "it will lie in a fold",
    Zone.OPENING: "it may slip over the eyes",
}
_TIGHT: Final = {
    Zone.COLLAR: "it would press on the throat",
    Zone.NAPE: "it would pull the hood back",
    Zone.OPENING: "it would press under the chin",
}


@dataclass(frozen=True, slots=True)
class Caution:
    """One thing to know: what it is about, how much it weighs, a sentence, and its basis."""

    about: str
    severity: Severity
    message: str
    basis: str


def told_apart(over: float, most: float) -> tuple[str, str]:
    """Return a share and the one that it is over in percent, so finely that they differ."""
    for places in range(int(FINEST.value)):
        shown = (f"{over:.{places}%}", f"{most:.{places}%}")
        if shown[0] != shown[1]:
            return shown
    return "a little more", f"{most:.0%}"


def _gentle(risks: frozenset[Risk], collar: Worn) -> Iterator[Caution]:
    """Yield a query where nothing should press on the neck."""
    told = sorted(risks & GENTLE_FOR)
    if not told:
        return
    who = "A short-nosed dog" if told == [Risk.SHORT_NOSED] else "A dog with eye or throat trouble"
    if len(told) > 1:
        who = "A short-nosed dog with eye or throat trouble"
    worn = f", {collar.strain:.0%} stretched when worn" if collar.strain > 0 else ""
    message = (
        f"{who}: no firm ribbing. The collar is made with half of the usual pull{worn}."
        " Feel the finished strip: if it takes more than a light tug to reach the neck measure,"
        " make it longer. Ask the owner whether the vet is content with a hood."
    )
    yield Caution("collar", Severity.QUERY, message, str(_PRESSURE))


def _remedies(passage: Passage, unit: LengthUnit) -> str:
    looser, buttoned = passage.looser, passage.buttoned
    if looser is None:
        return ""
    worn = f"{looser.worn_strain:.0%} stretched" if looser.worn_strain >= 0 else (
        f"{-looser.worn_strain:.0%} longer than the neck"
    )  # fmt: skip
    said = (
        f" Make it looser, {looser.collar_rows} rows and {show_length(looser.collar_girth, unit)},"
        f" worn {worn}"
    )
    if buttoned is None:
        return f"{said}."
    holes = f"{buttoned.buttonholes} buttonhole{'s' if buttoned.buttonholes > 1 else ''}"
    return (
        f"{said}; or let it open, {buttoned.overlap_rows} rows more for an overlap of"
        f" {show_length(buttoned.overlap_mm, unit)} with {holes}."
    )


def _head(passage: Passage, surety: Surety, unit: LengthUnit) -> Iterator[Caution]:
    """Yield a query where the collar does not go over the head, a note where it may not."""
    basis = "" if passage.measured else str(HEAD_OF_FACE.origin)
    ask = "" if passage.measured else " Ask for the widest girth of the head."
    if not passage.passes:
        needed, limit = told_apart(passage.needed, passage.limit)
        message = (
            f"The collar must stretch {needed} to go over a head of"
            f" {show_length(passage.head_mm, unit)}; up to {limit} is comfortable."
        )
        yield Caution("head", Severity.QUERY, message + _remedies(passage, unit) + ask, basis)
    elif surety.passes is not None and surety.passes < SURE_ENOUGH.value:
        message = (
            f"It is {surety.passes:.0%} sure that the collar goes over the head without force."
            f" Try the strip on before the hood is begun.{ask}"
        )
        yield Caution("head", Severity.NOTE, message, basis)


def _zone(worn: Worn) -> Iterator[Caution]:
    """Yield what is wrong with a zone that is worn loose or tight."""
    if worn.verdict is Verdict.COMFORTABLE:
        return
    name = _NAMES[worn.zone]
    if worn.verdict is Verdict.TIGHT:
        strain, high = told_apart(worn.strain, worn.high)
        message = (
            f"The {name} is {strain} stretched when worn, over the {high} that is comfortable:"
            f" {_TIGHT[worn.zone]}."
        )
        yield Caution(worn.zone.value, Severity.QUERY, message, worn.basis)
        return
    size = f"{worn.strain:.0%} stretched" if worn.strain >= 0 else f"{-worn.strain:.0%} too large"
    message = f"The {name} is loose when worn, {size}: {_LOOSE[worn.zone]}."
    severity = Severity.QUERY if worn.zone is Zone.OPENING else Severity.NOTE
    yield Caution(worn.zone.value, severity, message, worn.basis)


def _grown(collar: Worn, stretch: Stretch) -> Iterator[Caution]:
    """Yield what is to be known where the tested rib stays longer than it was.

    A query where the swatch was pulled too far, a note where the collar becomes loose.
    """
    if stretch.growth > MOST_GROWTH.value:
        message = (
            f"The swatch of the stretch test stayed {stretch.growth:.0%} longer: it was pulled"
            " beyond its limit, or it does not spring back. Pull a fresh swatch less far and"
            " measure again."
        )
        yield Caution("collar", Severity.QUERY, message, "your stretch test")
        return
    after = (1 + collar.strain) / (1 + stretch.growth) - 1
    if stretch.growth and after < collar.low <= collar.strain:
        message = (
            f"The stretch test stays {stretch.growth:.0%} longer: worn for a while the collar is"
            f" loose and will slide. A springier yarn or a firmer hook holds it."
        )
        yield Caution("collar", Severity.NOTE, message, "your stretch test")


def cautions_of(
    zones: tuple[Worn, ...],
    passage: Passage,
    surety: Surety,
    stretch: Stretch,
    risks: frozenset[Risk],
    unit: LengthUnit,
) -> tuple[Caution, ...]:
    """Return what the maker should know about the fit, in the order's unit."""
    collar = next(worn for worn in zones if worn.zone is Zone.COLLAR)
    return (
        *_gentle(risks, collar),
        *_head(passage, surety, unit),
        *(caution for worn in zones for caution in _zone(worn)),
        *_grown(collar, stretch),
    )
