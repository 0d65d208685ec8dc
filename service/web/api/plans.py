"""Checks and plans: computed, answered, not kept.

A check knows what finished hoods have taught of usual lengths. A plan is worked out from its
body alone; an order's plan knows the finished hoods too.
"""

from typing import Annotated

from fastapi import Body, Response

from service.bodies import ChecksIn, PlanIn
from service.experience import prior_of
from service.meters import PLANNING
from service.planbodies import DiagnosisOut, FindingOut, Out, PlanOut
from service.planning import examined, request_of
from service.planout import diagnosis_out, finding_out, plan_out
from service.web.api.examples import CHECKS, PLANS, STOCK
from service.web.dependencies import DatabaseOf
from service.web.parts import api_part
from service.web.problems import documented
from service.web.written import written
from service.work import stock_for, stock_out
from service.workbodies import StockIn, StockOut
from sizing.plan import make_plan

router = api_part("plans")


class ChecksOut(Out):
    """The findings on what is known so far, and how they were weighed."""

    findings: list[FindingOut]
    diagnosis: DiagnosisOut | None


@router.post("/checks", response_model=ChecksOut, responses=documented(422))
def check_measurements(
    asked: Annotated[ChecksIn, Body(openapi_examples=CHECKS)], database: DatabaseOf
) -> Response:
    """Say which number looks wrong and what was probably meant."""
    with database.asking() as connection:
        prior = prior_of(connection)
    found = examined(asked, prior)
    checks = ChecksOut(
        findings=[finding_out(finding) for finding in found.findings],
        diagnosis=diagnosis_out(found.diagnosis) if found.diagnosis else None,
    )
    return written(checks)


@router.post("/stock-sizes", responses=documented(422))
def make_stock_sizes(asked: Annotated[StockIn, Body(openapi_examples=STOCK)]) -> StockOut:
    """Say which few sizes fit the usual dogs of 2 to 80 kg."""
    return stock_out(stock_for(asked))


@router.post("/plans", response_model=PlanOut, responses=documented(409, 422))
def make_a_plan(asked: Annotated[PlanIn, Body(openapi_examples=PLANS)]) -> Response:
    """Plan one hood: pattern, dimensions, yarn, time and price."""
    request = request_of(asked, asked.rates)
    with PLANNING.time():
        plan = make_plan(request)
    return written(plan_out(plan, asked.terms))
