"""Write docs/evidence.md, the table of what was checked against something outside the project.

    python3 deploy/evidence.py

Run it in the test environment: numpy, scipy and shapely reckon some of what stands outside. A
test fails while the table is not what the code gives.
"""

import sys
from collections import Counter
from math import inf
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from tests.sizing.outside.check import (  # noqa: E402 - the checkout is put on the path first
    DUST,
    MEANING,
    Check,
    Result,
    Strength,
    Value,
    Within,
    result_of,
)
from tests.sizing.outside.registry import THEMES  # noqa: E402 - as above

TABLE = ROOT / "docs" / "evidence.md"
TESTS = "tests/sizing/test_outside.py"
COLUMNS = (
    "what is checked", "outside source", "strength", "taken", "there", "ours", "difference",
    "tolerance", "verdict", "test",
)  # fmt: skip
Rows = list[tuple[Check, Result]]
HEAD = f"""# What was checked against something outside

Written by `python3 deploy/evidence.py` from the code; a test keeps it current. Each row is a test
too, in `{TESTS}`, and its last column is the test's name. Where another test holds more of it,
that is named below the table. **Ours** is reckoned by running our code, never typed.
**Difference** is ours less theirs, beyond the nearer end where theirs is a span; 0 stands for
less than a billionth.

A row that does not agree says **differs**, and why. **Taken** says whether our number or rule was
made from that very figure: such a row shows that it was carried over rightly, and nothing more.
The rows that are not taken are the ones that could have gone the other way.

How strong a source is:
"""


def number(value: float, digits: int) -> str:
    """Return a number as shown, the dust of floats as 0."""
    if abs(value) < DUST:
        return "0"
    shortest = f"{value:.{digits}g}"
    return (f"{value:.0f}" if "e+" in shortest else shortest).replace("-", "\u2212")


def shown(value: Value, digits: int) -> str:
    """Return a value as shown: a number, a span or a word."""
    if isinstance(value, str):
        return f"“{value}”"
    if not isinstance(value, tuple):
        return number(value, digits)
    low, high = (number(end, digits) if abs(end) < inf else "" for end in value)
    if not low:
        return f"at most {high}"
    if not high:
        return f"at least {low}"
    return low if low == high else f"{low} to {high}"


def tolerance(within: Within, value: Value) -> str:
    """Return a tolerance in words."""
    if isinstance(value, str):
        return "the same word"
    parts = [f"± {within.amount:.3g}"] if within.amount else []
    parts += [f"± {100 * within.share:.3g} %"] if within.share else []
    if not parts:
        return "within the span" if isinstance(value, tuple) else "the same"
    return " or ".join(parts) + (f": {within.why}" if within.why else "")


def signed(value: float) -> str:
    """Return a difference as shown, with its sign."""
    return ("+" if value > 0 else "") + number(value, 2)


def difference(found: Result) -> str:
    """Return how far apart the two are, and the same in percent of theirs."""
    if found.apart is None:
        return "" if found.agrees else "another word"
    if abs(found.apart) < DUST:
        return "0"
    share = "" if found.share is None else f" ({signed(100 * found.share)} %)"
    return signed(found.apart) + share


def line(check: Check, found: Result) -> str:
    """Return one row of the document."""
    seen = f", {check.source.seen}" if check.source.seen else ""
    unit = f" {check.unit}" if check.unit else ""
    verdict = f"**differs.** {check.differs}" if check.differs else "agrees"
    cells = (
        check.what,
        check.source.text,
        f"{check.source.strength}{seen}",
        "yes" if check.taken else "no",
        shown(found.there, check.digits) + unit,
        shown(found.ours, check.digits) + unit,
        difference(found),
        tolerance(check.within, found.there),
        verdict,
        f"`{check.key}`",
    )
    return "| " + " | ".join(cell.replace("|", "/") for cell in cells) + " |"


def section(title: str, rows: Rows) -> str:
    """Return one theme: its table, and the further tests that hold its rows."""
    also: dict[str, list[str]] = {}
    for check, _ in rows:
        if check.also:
            also.setdefault(check.also, []).append(check.key)
    lines = [
        f"\n## {title}\n",
        *_columns(*COLUMNS),
        *(line(*row) for row in rows),
    ]
    if also:
        lines += ["", "Held further by:", ""]
        lines += [f"* `tests/sizing/{test}` ({', '.join(keys)})" for test, keys in also.items()]
    return "\n".join(lines) + "\n"


def differing(themes: dict[str, Rows]) -> str:
    """Return all rows that differ, in short, so that none is lost in a long table."""
    lines = ["\n## The rows that differ\n", *_columns("theme", "what", "there", "ours", "test")]
    for title, rows in themes.items():
        for check, found in rows:
            if check.differs:
                there, ours = (shown(one, check.digits) for one in (found.there, found.ours))
                unit = f" {check.unit}" if check.unit else ""
                lines.append(
                    f"| {title} | {check.what} | {there}{unit} | {ours}{unit} | `{check.key}` |"
                )
    return "\n".join(lines) + "\n"


def _columns(*names: str) -> tuple[str, str]:
    """Return the head of a table."""
    return f"| {' | '.join(names)} |", "|" + "---|" * len(names)


def summary(themes: dict[str, Rows]) -> str:
    """Return how many rows there are, how many differ, and on how strong sources they rest."""
    rows = [row for found in themes.values() for row in found]
    differ = [check for check, _ in rows if check.differs]
    fresh = [check for check, _ in rows if not check.taken]
    missed = sum(bool(check.differs) for check in fresh)
    strengths = Counter(check.source.strength for check, _ in rows)
    counted = (
        f"In all {len(rows)} rows: {len(rows) - len(differ)} agree, {len(differ)} differ. Of the"
        f" {len(fresh)} that our numbers were not taken from, {len(fresh) - missed} agree and"
        f" {missed} differ."
    )
    lines = [
        *(f"* {one}: {MEANING[one]} ({strengths[one]} rows)" for one in Strength),
        "",
        counted,
        "",
        *_columns("theme", "rows", "agree", "differ", "not taken"),
    ]
    for title, found in themes.items():
        apart = sum(bool(check.differs) for check, _ in found)
        not_taken = sum(not check.taken for check, _ in found)
        lines.append(f"| {title} | {len(found)} | {len(found) - apart} | {apart} | {not_taken} |")
    return "\n".join(lines) + "\n"


def table() -> str:
    """Return the whole document."""
    themes = {
        title: [(check, result_of(check)) for check in checks] for title, checks in THEMES.items()
    }
    sections = (section(title, rows) for title, rows in themes.items())
    return HEAD + "\n" + summary(themes) + differing(themes) + "".join(sections)


if __name__ == "__main__":
    TABLE.write_text(table(), encoding="utf-8")
    print(f"{TABLE.relative_to(ROOT)} written.")
