"""How the hood will be worn, in words, for the order's page."""

from dataclasses import dataclass
from typing import Final

from sizing.cautions import told_apart
from sizing.exactness import Source
from sizing.fitted import Fit
from sizing.surety import Surety
from sizing.units import LengthUnit, show_length
from sizing.wearing import Passage, Verdict, Worn, Zone

_ZONES: Final = {
    Zone.COLLAR: "Collar on the neck",
    Zone.NAPE: "Nape",
    Zone.OPENING: "Opening round the face",
}
_VERDICTS: Final = {
    Verdict.LOOSE: "loose",
    Verdict.COMFORTABLE: "comfortable",
    Verdict.TIGHT: "tight, do not make it so",
}
_MEASURED: Final = {
    Source.SWATCH: "a swatch, washed and counted",
    Source.STRETCH: "how far the rib of a swatch gives, measured with care",
    Source.HEAD: "the widest girth of the head, measured with care",
    Source.RIB_GAUGE: "the rib of the swatch, counted again with care",
    Source.PLAIN_GAUGE: "the plain part of the swatch, counted again with care",
}
"""What is not measured again on the dog, or not again."""


@dataclass(frozen=True, slots=True)
class ZoneLine:
    """One zone: its name, how it is worn, and how sure that is."""

    name: str
    worn: str
    sure: str
    well: bool


@dataclass(frozen=True, slots=True)
class FitView:
    """The fit in words.

    Attributes:
        stuck: whether the collar does not go over the head, and does not open either.
        can_open: whether buttons are a way out then.
        passage: how it goes on, where it does.
        advice: what to measure again, or nothing.
        overall: how sure it is that all zones fit, or nothing.
        cautions: severity and sentence of what to know before the yarn is cut.
    """

    zones: tuple[ZoneLine, ...]
    stuck: bool
    can_open: bool
    passage: str
    advice: str
    overall: str
    cautions: tuple[tuple[str, str], ...]


def _worn(worn: Worn) -> str:
    verdict = _VERDICTS[worn.verdict]
    if worn.strain < 0:
        return f"{verdict}: the hood is {-worn.strain:.0%} larger"
    strain, high = f"{worn.strain:.0%}", f"{worn.high:.0%}"
    if worn.verdict is Verdict.TIGHT:
        strain, high = told_apart(worn.strain, worn.high)
    return f"{verdict}: stretched {strain}; up to {high} is well"


def _passage(passage: Passage, unit: LengthUnit) -> str:
    """Return how the hood goes on; where it does not, a caution says so with the remedies."""
    if passage.opens:
        return "The collar opens, so it need not go over the head."
    if not passage.passes:
        return ""
    reckoned = "a little over the face girth, as the head was not measured"
    head = "head girth" if passage.measured else reckoned
    need = f"To go over {show_length(passage.head_mm, unit)} ({head}) it stretches"
    need += f" {passage.needed:.0%}; up to {passage.limit:.0%} is comfortable."
    return f"The collar goes over the head. {need}"


def _advice(surety: Surety) -> str:
    again = surety.again
    if again is None:
        return ""
    what = _MEASURED.get(again, f"the {again.value}, measured again with care")
    then = (surety.overall or 0.0) + surety.gain
    return f"What would help most: {what}. All together is {then:.0%} sure then."


def fit_view(fit: Fit, unit: LengthUnit) -> FitView:
    """Return the fit in words, in the order's unit."""
    sure = {one.zone: one.probability for one in fit.surety.zones}
    overall = fit.surety.overall
    return FitView(
        zones=tuple(
            ZoneLine(
                _ZONES[worn.zone],
                _worn(worn),
                f"{sure[worn.zone]:.0%}",
                worn.verdict is Verdict.COMFORTABLE,
            )
            for worn in fit.zones
        ),
        stuck=not fit.passage.passes,
        can_open=fit.passage.buttoned is not None,
        passage=_passage(fit.passage, unit),
        advice=_advice(fit.surety),
        overall="" if overall is None else f"{overall:.0%}",
        cautions=tuple((one.severity.value, one.message) for one in fit.cautions),
    )
