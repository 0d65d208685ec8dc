"""How the hood will be worn, in words, for the order's page."""

from dataclasses import dataclass
from typing import Final

from sizing.exactness import Source
from sizing.plan import Fit
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
        passage: whether the collar goes over the head; `passes` is for the look of it.
        advice: what to measure again, or nothing.
        overall: how sure it is that all zones fit, or nothing.
        cautions: severity and sentence of what to know before the yarn is cut.
    """

    zones: tuple[ZoneLine, ...]
    passes: bool
    passage: str
    advice: str
    overall: str
    cautions: tuple[tuple[str, str], ...]


def _worn(worn: Worn) -> str:
    verdict = _VERDICTS[worn.verdict]
    if worn.strain < 0:
        return f"{verdict}: the hood is {-worn.strain:.0%} larger"
    return f"{verdict}: stretched {worn.strain:.0%}; up to {worn.high:.0%} is well"


def _passage(passage: Passage, unit: LengthUnit) -> str:
    reckoned = "a little over the face girth, as the head was not measured"
    head = "head girth" if passage.measured else reckoned
    need = f"To go over {show_length(passage.head_mm, unit)} ({head}) it stretches"
    need += f" {passage.needed:.0%}; up to {passage.limit:.0%} is comfortable."
    looser, buttoned = passage.looser, passage.buttoned
    if looser is None or buttoned is None:
        return f"The collar goes over the head. {need}"
    loose = "then loose on the neck" if looser.worn_strain < 0 else "still close to the neck"
    return (
        f"The collar does not go over the head without force. {need} Either a looser collar of"
        f" {looser.collar_rows} rows, {show_length(looser.collar_girth, unit)} long, {loose}; or"
        f" one that opens: {buttoned.overlap_rows} rows more,"
        f" {show_length(buttoned.overlap_mm, unit)} of overlap, and"
        f" {buttoned.buttonholes} buttonhole{'s' if buttoned.buttonholes > 1 else ''}."
    )


def _advice(again: Source | None, gain: float) -> str:
    if again is None:
        return ""
    how = "count one" if again is Source.SWATCH else "taken again with care"
    return f"What helps most: the {again.value}, {how} (+{gain:.0%} for all together)."


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
        passes=fit.passage.passes,
        passage=_passage(fit.passage, unit),
        advice=_advice(fit.surety.again, fit.surety.gain),
        overall="" if overall is None else f"{overall:.0%}",
        # What keeps the collar from passing the head is said in the passage, with its remedies.
        cautions=tuple(
            (one.severity.value, one.message)
            for one in fit.cautions
            if fit.passage.passes or one.about != "head"
        ),
    )
