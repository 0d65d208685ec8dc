"""The figures' page: what finished hoods took and earned, beside what was planned."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fastapi.responses import HTMLResponse

from documents.figures import minutes_text, month_text
from service.record.bodies import HoodOut, PairOut, RecordOut
from service.record.hoods import record, untold
from service.record.words import LAST, percent
from service.web.dependencies import DatabaseOf
from service.web.pages.plots import Figure, Plot, amounts, differences
from service.web.pages.render import page
from service.web.parts import page_part

router = page_part()
LEAST_GROUPS: Final = 2
"""One month or one yarn alone is what the other plot shows already."""


@dataclass(frozen=True, slots=True)
class TableRow:
    """A line of the table beside a plot: what it is, the order it is of, its cells."""

    name: str
    order: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Panel:
    """A plot with its name and its table."""

    name: str
    title: str
    plot: Plot
    heads: tuple[str, ...]
    rows: tuple[TableRow, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """One question: its heading, what is said of it, its plots."""

    name: str
    title: str
    said: str
    panels: tuple[Panel, ...]


def signed(share: float) -> str:
    """Return a share as a percentage with its sign; next to nothing has none."""
    if not round(share * 100):
        return "0\u00a0%"
    sign = "+" if share > 0 else "\u2212"
    return f"{sign}{percent(share)}"


def _who(hood: HoodOut) -> str:
    return hood.dog or "Unnamed dog"


def _line(hood: HoodOut, *cells: str) -> TableRow:
    return TableRow(_who(hood), hood.number, cells)


def _compared(name: str, title: str, told: Sequence[tuple[HoodOut, PairOut]], unit: str) -> Panel:
    def shown(amount: float) -> str:
        return (
            f"{amount:.0f}\u00a0g" if unit == "g" else minutes_text(amount).replace(" ", "\u00a0")
        )

    figures = [
        Figure(
            name=_who(hood),
            value=pair.more,
            shown=signed(pair.more),
            span=(pair.low / pair.planned - 1, pair.high / pair.planned - 1),
            past=not pair.within,
        )
        for hood, pair in told
    ]
    rows = [
        _line(hood, shown(pair.planned), shown(pair.was), signed(pair.more)) for hood, pair in told
    ]
    heads = ("Hood", "Planned", "Was", "Differs")
    return Panel(name, title, differences(figures), heads, tuple(rows))


def _grouped(name: str, title: str, head: str, told: Sequence[tuple[str, int, float]]) -> Panel:
    figures = [Figure(group, more, signed(more)) for group, _, more in told]
    rows = [TableRow(group, "", (str(count), signed(more))) for group, count, more in told]
    return Panel(name, title, differences(figures), (head, "Hoods", "Differs"), tuple(rows))


def _yarn(found: RecordOut) -> Part:
    told = [(one, one.grams) for one in found.hoods if one.grams][:LAST]
    by = [(one.name, one.hoods, one.grams_more) for one in found.yarns]
    groups = [(name, count, more) for name, count, more in by if more is not None][:LAST]
    panels = [_compared("yarn-hoods", "Yarn by hood", told, "g")] if told else []
    if len(groups) >= LEAST_GROUPS:
        panels.append(_grouped("yarn-yarns", "Yarn by yarn", "Yarn", groups))
    return Part("yarn", "Yarn", found.said.yarn, tuple(panels))


def _time(found: RecordOut) -> Part:
    told = [(one, one.minutes) for one in found.hoods if one.minutes][:LAST]
    by = [(month_text(one.name), one.hoods, one.minutes_more) for one in found.months]
    groups = [(name, count, more) for name, count, more in by if more is not None][:LAST]
    panels = [_compared("time-hoods", "Time by hood", told, "min")] if told else []
    if len(groups) >= LEAST_GROUPS:
        panels.append(_grouped("time-months", "Time by month", "Month", groups))
    return Part("time", "Time", found.said.time, tuple(panels))


def _paid(hood: HoodOut) -> str:
    return str(hood.paid) if hood.paid > 0 else f"{hood.price}, unpaid"


def _by_month(found: RecordOut) -> Panel | None:
    told = [
        (month_text(one.name), one, one.earned) for one in found.months if one.earned is not None
    ][:LAST]
    if len(told) < LEAST_GROUPS:
        return None
    wage = float(found.wage)
    bars = [Figure(name, float(per), f"{per}", past=float(per) < wage) for name, _, per in told]
    rows = [TableRow(name, "", (str(one.hoods), str(per))) for name, one, per in told]
    plot = amounts(bars, wage, f"wage {found.wage}")
    heads = (f"In {found.currency}", "Hoods", "An hour")
    return Panel("earned-months", "An hour by month", plot, heads, tuple(rows))


def _earned(found: RecordOut) -> Part:
    told = [
        (one, one.earned)
        for one in found.hoods
        if one.earned is not None and one.currency == found.currency
    ][:LAST]
    if not told:
        return Part("earned", "What an hour earned", "", ())
    wage = float(found.wage)
    bars = [Figure(_who(hood), float(per), f"{per}", past=float(per) < wage) for hood, per in told]
    rows = [_line(hood, _paid(hood), str(hood.earned_planned), str(per)) for hood, per in told]
    plot = amounts(bars, wage, f"wage {found.wage}")
    heads = (f"In {found.currency}", "Price", "Planned an hour", "Was")
    panel = Panel("earned-hoods", "An hour by hood", plot, heads, tuple(rows))
    month = _by_month(found)
    panels = (panel, month) if month else (panel,)
    return Part("earned", "What an hour earned", found.said.earned, panels)


def parts_of(found: RecordOut) -> tuple[Part, ...]:
    """Return the questions of which something is known."""
    return tuple(part for part in (_time(found), _yarn(found), _earned(found)) if part.panels)


@router.get("/figures")
def figures_page(database: DatabaseOf) -> HTMLResponse:
    """Show what finished hoods took and earned."""
    with database.reading() as session:
        found, waiting = record(session), untold(session)
    return page("figures.html", parts=parts_of(found), untold=waiting)
