"""How sure the fit is: the closed form against draws and against scipy."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, partial
from math import hypot, log1p

import numpy as np
from scipy.stats import multivariate_normal, norm

from sizing.dogs import Coat, Dog, Risk
from sizing.exactness import Source, errors_of
from sizing.fit import reduction, target
from sizing.fitted import Fit
from sizing.gauge import Swatch
from sizing.plan import Plan, Request, make_plan
from sizing.stretch import StretchTest, by_fibre
from sizing.surety import all_within, within
from sizing.wearing import Worn, Zone, zones_of
from tests.sizing.builders import COTTON_BLEND, request, spaniel, yarn
from tests.sizing.outside import sources
from tests.sizing.outside.check import Check, Within
from tests.sizing.test_surety import drawn

SWATCH = Swatch(12.6, 14.6, 12.8, 14.3)
STRETCHED = Swatch(12.6, 14.6, 12.8, 14.3, stretch=StretchTest(100, 122, 150, 102))
GENTLE = frozenset({Risk.SHORT_NOSED})
DOG = Dog(weight_kg=14)
ORDERS = {
    "nothing counted": request(),
    "swatch counted": request(swatch=SWATCH),
    "swatch stretched": request(swatch=STRETCHED),
    "thick coat": request(dog=Dog(weight_kg=14, coat=Coat.THICK), swatch=SWATCH),
    "short nose": request(dog=Dog(weight_kg=14, risks=GENTLE), swatch=SWATCH),
    "cotton blend": request(wool=yarn(COTTON_BLEND)),
}


@dataclass(frozen=True, slots=True)
class Case:
    """One order: the shares that the draws found, and what the closed form says."""

    drawn: Mapping[str, float]
    told: Mapping[str, float]


def _fit(plan: Plan) -> Fit:
    assert plan.fit
    return plan.fit


@cache
def case(name: str) -> Case:
    order: Request = ORDERS[name]
    plan = make_plan(order)
    fit = _fit(plan)
    errors = errors_of(order.dog, plan.profile.risks, fit.stretch, tested=plan.gauge.tested)
    told = {sure.zone.value: sure.probability for sure in fit.surety.zones}
    told |= {"all": fit.surety.overall or 0.0, "head": fit.surety.passes or 0.0}
    return Case(drawn(order, plan, errors), told)


def _drawn(name: str, what: str) -> float:
    return case(name).drawn[what]


def _told(name: str, what: str) -> float:
    return case(name).told[what]


def _blend() -> tuple[tuple[Worn, ...], dict[Source, float]]:
    """Zones of a gentle hood in a cotton blend: its bands have no error, so scipy is exact."""
    give = by_fibre(yarn(COTTON_BLEND))
    zones = zones_of(spaniel(), target(spaniel(), reduction(give, GENTLE)), give, GENTLE)
    return zones, errors_of(DOG, GENTLE, give, tested=False)


def _nape_by_scipy() -> float:
    zones, errors = _blend()
    nape = next(worn for worn in zones if worn.zone is Zone.NAPE)
    sd = hypot(errors[Source.NAPE], errors[Source.PLAIN_GAUGE], errors[Source.SWATCH])
    low, high = (log1p(end) - log1p(nape.strain) for end in (nape.low, nape.high))
    return float(norm.cdf(high / sd) - norm.cdf(low / sd))


def _all_by_scipy() -> float:
    """The probability of the whole box under one normal of three, with what they share."""
    zones, errors = _blend()
    rib, plain = errors[Source.RIB_GAUGE] ** 2, errors[Source.PLAIN_GAUGE] ** 2
    tapes = [errors[one] ** 2 for one in (Source.NECK, Source.NAPE, Source.FACE)]
    covariance = np.full((3, 3), errors[Source.SWATCH] ** 2) + np.diag(tapes)
    covariance[0, 0] += rib
    covariance[1:, 1:] += plain
    strains = np.log1p([worn.strain for worn in zones])
    return float(
        multivariate_normal.cdf(
            np.log1p([worn.high for worn in zones]) - strains,
            cov=covariance,
            lower_limit=np.log1p([worn.low for worn in zones]) - strains,
            abseps=1e-6,
            releps=1e-6,
            rng=np.random.default_rng(5),
        )
    )


def _nape_ours() -> float:
    zones, errors = _blend()
    nape = next(worn for worn in zones if worn.zone is Zone.NAPE)
    return within(nape, by_fibre(yarn(COTTON_BLEND)), GENTLE, errors)


def _all_ours() -> float:
    zones, errors = _blend()
    return all_within(zones, by_fibre(yarn(COTTON_BLEND)), GENTLE, errors)


ALL = "test_surety.py::test_the_closed_form_agrees_with_100_000_draws"
WHAT = {
    "collar": "the collar lies within its band",
    "nape": "the nape does",
    "opening": "the opening does",
    "all": "all three do",
    "head": "the collar passes the head",
}
ROWS = (
    *(("nothing counted", what) for what in WHAT),
    *(("swatch counted", what) for what in WHAT),
    ("swatch stretched", "collar"),
    ("swatch stretched", "head"),
    ("thick coat", "all"),
    ("short nose", "collar"),
    ("short nose", "head"),
    ("cotton blend", "all"),
    ("cotton blend", "head"),
)
FIRST_ORDER = Within(0.02, why="first order in the errors")

CHECKS = (
    *(
        Check(
            f"{name.replace(' ', '-')}-{what}",
            f"14 in neck, {name}: how sure that {WHAT[what]}",
            sources.DRAWS,
            partial(_drawn, name, what),
            partial(_told, name, what),
            "probability",
            FIRST_ORDER,
            also=ALL,
            digits=3,
        )
        for name, what in ROWS
    ),
    Check("nape-normal", "Nape of a gentle hood in a blend, from the same errors", sources.SCIPY,
          _nape_by_scipy, _nape_ours, "probability", digits=3),
    Check("all-normal", "All three zones of it: one normal of three, what they share included",
          sources.SCIPY, _all_by_scipy, _all_ours, "probability",
          Within(0.01, why="seven places of what is shared"), digits=3),
)  # fmt: skip
