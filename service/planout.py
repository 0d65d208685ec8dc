"""What goes out: plans and findings made ready for the wire."""

from typing import Final

from service.planbodies import (
    BallChoiceOut,
    BallsOut,
    CautionOut,
    CheckpointOut,
    ColourNeedOut,
    DiagnosisOut,
    DimensionsOut,
    ExplanationOut,
    FindingOut,
    FitOut,
    GaugeOut,
    LabourOut,
    PartNeedOut,
    PartOut,
    PassageOut,
    PatternOut,
    PlanOut,
    PriceOut,
    SpreadOut,
    TaskOut,
    WornOut,
    YarnOut,
)
from sizing.checks import Diagnosis, Finding
from sizing.fit import Dimensions
from sizing.fitted import Fit
from sizing.material import Spread, YarnNeed
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


def _spread(spread: Spread) -> SpreadOut:
    return SpreadOut(low=spread.low, likely=spread.likely, high=spread.high)


def _yarn(need: YarnNeed) -> YarnOut:
    balls = BallsOut(
        low=need.balls_low,
        likely=need.balls_likely,
        high=need.balls_to_buy,
        buy=need.balls_to_buy,
    )
    return YarnOut(
        metres=_spread(need.metres),
        grams=_spread(need.grams),
        metres_95=_spread(need.metres_95) if need.metres_95 else None,
        grams_95=_spread(need.grams_95) if need.grams_95 else None,
        balls=balls,
        suffices=need.suffices,
        choices=[BallChoiceOut(balls=c.balls, suffices=c.suffices) for c in need.choices],
        parts=[PartNeedOut.model_validate(part, from_attributes=True) for part in need.parts],
        colours=[
            ColourNeedOut(
                colour=one.colour,
                metres=_spread(one.metres),
                grams=_spread(one.grams),
                buy=one.balls_to_buy,
                suffices=one.suffices,
            )
            for one in need.colours
        ],
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
        findings=[finding_out(finding) for finding in plan.findings],
        gauge=GaugeOut.model_validate(plan.gauge, from_attributes=True),
        hook_mm=plan.hook_mm,
        target=dimensions_out(plan.target),
        finished=dimensions_out(plan.finished),
        pattern=PatternOut(
            terms=terms, parts=[part_out(part, terms) for part in plan.pattern.parts]
        ),
        checkpoints=[
            CheckpointOut.model_validate(point, from_attributes=True) for point in plan.checkpoints
        ],
        yarn=_yarn(plan.yarn),
        labour=LabourOut(
            tasks=[TaskOut(name=task.name, minutes=task.minutes) for task in plan.labour.tasks],
            minutes=plan.labour.minutes,
            spread=_spread(plan.labour.spread) if plan.labour.spread else None,
        ),
        price=PriceOut.model_validate(plan.price, from_attributes=True),
        fit=_fit(plan.fit) if plan.fit else None,
    )
