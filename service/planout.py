"""What goes out: plans and findings made ready for the wire."""

from typing import Final

from service.planbodies import (
    BallsOut,
    CautionOut,
    ColourNeedOut,
    DiagnosisOut,
    DimensionsOut,
    ExplanationOut,
    FindingOut,
    FitOut,
    PartOut,
    PassageOut,
    PatternOut,
    PlanOut,
    WornOut,
    YarnOut,
)
from sizing.checks import Diagnosis, Finding
from sizing.fit import Dimensions
from sizing.fitted import Fit
from sizing.material import YarnNeed
from sizing.plan import Plan
from sizing.rows import Part
from sizing.wording import Terms, row_text

LEAST_SHOWN: Final = 0.01


def finding_out(finding: Finding) -> FindingOut:
    """Return a finding for the wire."""
    return FindingOut.model_validate(finding, from_attributes=True)


def diagnosis_out(diagnosis: Diagnosis) -> DiagnosisOut:
    """Return a diagnosis for the wire, without the explanations that hardly can be."""
    return DiagnosisOut(
        true_probability=diagnosis.true_probability,
        severity=diagnosis.severity,
        sure=diagnosis.sure,
        explanations=[
            ExplanationOut(
                kind=one.kind,
                fields=[field.value for field in one.fields],
                meant_mm={field.value: mm for field, mm in one.meant},
                probability=one.probability,
            )
            for one in diagnosis.explanations
            if one.probability >= LEAST_SHOWN
        ],
        ask_owner=diagnosis.ask_owner,
    )


def part_out(part: Part, terms: Terms) -> PartOut:
    """Return a part for the wire, its rows worded."""
    # As plain members, for one look at all of them: a model at a time takes half as long again.
    rows = [
        {
            "row": row.row,
            "side": row.side,
            "operations": row.operations,
            "stitches": row.stitches,
            "text": row_text(part.part, row, terms),
            "colour": row.colour,
        }
        for row in part.rows
    ]
    return PartOut(
        part=part.part,
        foundation_chain=part.foundation_chain,
        turning_chain=part.turning_chain,
        overlap=part.overlap,
        rounds=part.rounds,
        copies=part.copies,
        rows=rows,
    )


def _yarn(need: YarnNeed) -> YarnOut:
    balls = BallsOut(
        low=need.balls_low,
        likely=need.balls_likely,
        high=need.balls_to_buy,
        buy=need.balls_to_buy,
    )
    return YarnOut(
        metres=need.metres,
        grams=need.grams,
        metres_95=need.metres_95,
        grams_95=need.grams_95,
        balls=balls,
        suffices=need.suffices,
        choices=need.choices,
        parts=need.parts,
        colours=[
            ColourNeedOut(
                colour=one.colour,
                metres=one.metres,
                grams=one.grams,
                buy=one.balls_to_buy,
                suffices=one.suffices,
            )
            for one in need.colours
        ],
        by_area=need.by_area,
        agree=need.agree,
        advice=need.advice,
        basis=need.basis,
    )


def dimensions_out(dimensions: Dimensions) -> DimensionsOut:
    """Return dimensions for the wire."""
    return DimensionsOut.model_validate(dimensions, from_attributes=True)


def _fit(fit: Fit) -> FitOut:
    sure = {one.zone: one.probability for one in fit.surety.zones}
    names = ("zone", "body_mm", "finished_mm", "strain", "low", "high", "verdict", "basis")
    return FitOut(
        zones=[
            WornOut(**{name: getattr(worn, name) for name in names}, probability=sure[worn.zone])
            for worn in fit.zones
        ],
        cautions=[CautionOut.model_validate(one) for one in fit.cautions],
        overall=fit.surety.overall,
        passes=fit.surety.passes,
        passage=PassageOut.model_validate(fit.passage),
        measure_again=fit.surety.again.value if fit.surety.again else None,
        gain=fit.surety.gain,
    )


def plan_out(plan: Plan, terms: Terms) -> PlanOut:
    """Return a plan for the wire, its rows worded in US or UK terms."""
    return PlanOut(
        engine=plan.engine,
        findings=plan.findings,
        gauge=plan.gauge,
        hook_mm=plan.hook_mm,
        target=plan.target,
        finished=plan.finished,
        pattern=PatternOut(
            terms=terms, parts=[part_out(part, terms) for part in plan.pattern.parts]
        ),
        checkpoints=plan.checkpoints,
        yarn=_yarn(plan.yarn),
        labour=plan.labour,
        price=plan.price,
        fit=_fit(plan.fit) if plan.fit else None,
    )
