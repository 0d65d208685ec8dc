"""An order of a file planned, with what finished hoods have taught; each question asked once."""

from dataclasses import dataclass, field
from typing import Any

from sqlmodel import Session

from service.bodies import AcceptedStop, OrderIn, RatesIn, ShopIn
from service.bringing.columns import NAMES
from service.bringing.lines import Asked, WrongLineError, column_of, wrong_line
from service.errors import UnreadableError
from service.experience import NOTHING, Experience, experience
from service.outcomes import said_of
from service.planning import hook_for, kept_findings, kept_plan, request_of
from service.states import NEEDS_PLAN
from service.told import recent
from sizing.checks import Finding
from sizing.errors import SizingError, ValueOutOfRangeError
from sizing.plan import ENGINE, Plan, blocking, findings_for, plan_of


@dataclass(slots=True)
class Planner:
    """Plans the orders of one file."""

    session: Session
    shop: ShopIn
    _taught: set[int] = field(default_factory=set)
    _known: dict[tuple[str, int | None, float | None], Experience] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Find the dogs whose finished hoods say something of their next one."""
        self._taught = {one.dog_id for one in recent(self.session)}

    def _experience(self, order: OrderIn, dog: int | None) -> Experience:
        key = (order.yarn.name, dog if dog in self._taught else None, hook_for(order))
        if key not in self._known:
            self._known[key] = experience(self.session, *key)
        return self._known[key]

    def planned(self, asked: Asked, dog: int | None) -> "Planned":
        """Return an order planned; one that a number stops is kept without a plan.

        Raises:
            WrongLineError: if there can be no such hood, or it is promised and cannot be planned.
        """
        order = asked.order
        if order is None:
            raise TypeError(asked)
        try:
            known = self._experience(order, dog)
            return planned_alone(asked, self.shop.rates, known)
        except UnreadableError as error:
            raise wrong_line(error) from error
        except ValueOutOfRangeError as error:
            raise WrongLineError({column_of(error.field): str(error)}) from error
        except SizingError as error:
            raise WrongLineError({"line": str(error)}) from error


def planned_alone(asked: Asked, rates: RatesIn, known: Experience = NOTHING) -> "Planned":
    """Return an order planned with what is known; without a database that is nothing.

    Raises:
        WrongLineError: if it is promised and a number stops its plan.
        UnreadableError, ValueOutOfRangeError: if there can be no such hood.
    """
    order = asked.order
    if order is None:
        raise TypeError(asked)
    request = request_of(order, rates, known)
    findings = findings_for(request)
    stops = blocking(findings, request.accepted)
    if stops and asked.reason:
        accepted = [AcceptedStop(field=name, reason=asked.reason) for name in stops]
        order = order.model_copy(update={"accepted": accepted})
        stops = ()
    if stops and asked.state in NEEDS_PLAN:
        raise WrongLineError(_stopped(findings, stops))
    plan = None if stops else plan_of(request, findings)
    return Planned(order, findings, plan)


def _stopped(findings: tuple[Finding, ...], stops: tuple[str, ...]) -> dict[str, str]:
    said = {column_of(one.field): one.message for one in findings if one.field in stops}
    more = " Correct it, or write under “odd because” why it is right."
    return {name if name in NAMES else "line": text + more for name, text in said.items()}


@dataclass(frozen=True, slots=True)
class Planned:
    """An order with its findings and its plan; None where a number stops it."""

    order: OrderIn
    findings: tuple[Finding, ...]
    plan: Plan | None

    def stopping(self) -> str:
        """Return what stops the plan, or nothing."""
        if self.plan:
            return ""
        stops = blocking(self.findings, frozenset())
        return " ".join(one.message for one in self.findings if one.field in stops)

    def kept(self, shop: ShopIn) -> dict[str, Any]:
        """Return the order's row, as far as its plan makes it."""
        return {
            "due": self.order.due,
            "asked": self.order.model_dump(mode="json"),
            "rates": shop.rates.model_dump(mode="json"),
            "findings": kept_findings(self.findings),
            "plan": kept_plan(self.plan) if self.plan else None,
            "planned": self.plan is not None,
            "engine": ENGINE,
        }

    def said(self) -> dict[str, Any]:
        """Return what the plan had said of what the maker tells of the finished hood."""
        return said_of(self.plan, self.order) if self.plan else {}
