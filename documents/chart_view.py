"""The stitch chart, decided: which rows are drawn, what the signs mean, how it is read."""

from dataclasses import dataclass
from typing import Final

from documents.chart_fold import Fold, Line, folded
from documents.chart_rows import Sign, chart_rows, free_ends, letters, seam_row
from documents.figures import terms_text
from documents.job import Job
from documents.text import Cleaner
from sizing.plan import Plan
from sizing.rows import Part, PartName, Pattern
from sizing.style import Hand, Terms
from sizing.wording import counted

LONGEST_NAME: Final = 40
LONGEST_COLOURS: Final = 160
_SINGLE: Final = {Terms.US: "sc", Terms.UK: "dc"}
_KEY: Final = {
    Sign.CHAIN: "ch: chain",
    Sign.SLIP: "sl st: slip stitch",
    Sign.CROSS: "{sc}",
    Sign.BACK: "{sc} in the back loop (RS row)",
    Sign.FRONT: "{sc} in the back loop as you hold it (WS row); the RS shows it as the front loop",
    Sign.PART: "2 {sc} in the same place",
    Sign.DEC: "dec: invisible decrease over 2 sts",
    Sign.TOGETHER: "{sc}2tog over 2 sts",
    Sign.END: "row end of the collar",
}
_LEFT_OUT: Final = "row end of the collar; without a line to it, it is left out"


@dataclass(frozen=True, slots=True)
class Chart:
    """One part: its heading, a remark, and its lines from the lowest up."""

    title: str
    remark: str
    lines: tuple[Line, ...]

    @property
    def wide(self) -> int:
        """Return the most stitches of a line."""
        return max(
            line.wide if isinstance(line, Fold) else len(line.stitches) for line in self.lines
        )


@dataclass(frozen=True, slots=True)
class ChartView:
    """A stitch chart with nothing left to decide.

    Attributes:
        reading: how it is read, in sentences.
        key: each sign that is used, and its meaning.
        warnings: what had to be changed in typed texts, for the maker's screen.
    """

    title: str
    heading: str
    below: str
    maker: str
    footer: str
    reading: tuple[str, ...]
    key: tuple[tuple[Sign, str], ...]
    charts: tuple[Chart, ...]
    warnings: tuple[str, ...]


def _colours(part: Part, cleaner: Cleaner) -> str:
    named = ", ".join(
        f"{letter} {name or 'main colour'}" for name, letter in letters(part).items()
    )
    return cleaner.line(f"Colours: {named}.", "colours", LONGEST_COLOURS) if named else ""


def _collar(pattern: Pattern, hand: Hand, cleaner: Cleaner) -> Chart:
    part = pattern.part(PartName.COLLAR)
    lines = list(folded(chart_rows(part, hand)))
    stitches = part.rows[-1].stitches
    remark = f"A strip worked sideways on {counted(stitches)}, {len(part.rows)} rows."
    if part.overlap:
        remark += f" The last {part.overlap} rows lap over the first ones."
    else:
        lines.append(seam_row(stitches))
        remark += " On top the seam: last row against the foundation chain."
    return Chart("Collar strip", f"{remark} {_colours(part, cleaner)}".strip(), tuple(lines))


def _hood(pattern: Pattern, hand: Hand, cleaner: Cleaner) -> Chart:
    part = pattern.part(PartName.HOOD)
    lines = folded(chart_rows(part, hand))
    last = part.rows[-1]
    free = free_ends(part)
    overlap = f" The last {free} row ends, the overlap, stay free." if free else ""
    remark = (
        f"Picked up along the collar, {len(part.rows)} rows.{overlap} The gap in the middle is"
        " no hole: the stitches beside it are neighbours at the centre back."
        f" After row {last.row} the edge of {counted(last.stitches)} is folded and sewn."
    )
    return Chart("Hood", f"{remark} {_colours(part, cleaner)}".strip(), lines)


def _reading(hand: Hand) -> tuple[str, ...]:
    right, left = ("right to left", "left to right")
    odd, even = (right, left) if hand is Hand.RIGHT else (left, right)
    return (
        "Read it from the bottom up. It shows the right side.",
        f"A row begins at its number: RS rows (odd) run from {odd}, WS rows (even) from {even}.",
        "Each 10th stitch stands on grey, counted from where the row begins.",
        "At its end the stitches of the row stand in brackets.",
    )


def _used(charts: tuple[Chart, ...], terms: Terms) -> tuple[tuple[Sign, str], ...]:
    rows = [line for chart in charts for line in chart.lines if not isinstance(line, Fold)]
    used = {stitch.sign for row in rows for stitch in row.stitches}
    key = {**_KEY, Sign.END: _LEFT_OUT} if any(row.leaders for row in rows) else _KEY
    texts = ((sign, text.replace("{sc}", _SINGLE[terms])) for sign, text in key.items())
    return tuple((sign, text) for sign, text in texts if sign in used)


def chart_view(job: Job, plan: Plan, hand: Hand = Hand.RIGHT) -> ChartView:
    """Return the stitch chart of a plan's collar and hood.

    Args:
        job: the order: numbers, names and terms.
        plan: its pattern is charted as it is, with its variants.
        hand: of the maker; a left-hander's chart is in the mirror.
    """
    cleaner = Cleaner()
    hood = cleaner.line(job.hood_number, "hood number", LONGEST_NAME)
    dog = cleaner.line(job.dog, "dog", LONGEST_NAME)
    charts = (_collar(plan.pattern, hand, cleaner), _hood(plan.pattern, hand, cleaner))
    return ChartView(
        title=f"Stitch chart, hood {hood}",
        heading=f"Stitch chart \u00b7 {dog}" if dog else "Stitch chart",
        below=f"Hood {hood} \u00b7 {terms_text(job.terms)}",
        maker=cleaner.line(job.maker.name, "maker", LONGEST_NAME),
        footer=f"Stitch chart \u00b7 hood {hood} \u00b7 {dog}",
        reading=_reading(hand),
        key=_used(charts, job.terms),
        charts=charts,
        warnings=tuple(dict.fromkeys(cleaner.warnings)),
    )
