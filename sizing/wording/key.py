"""The key to the short words: those of a plain hood, and those that a variant adds."""

from typing import Final

from sizing.rows import Op, Pattern
from sizing.style import Terms


def _plain(sc: str, single: str, over: str) -> tuple[tuple[str, str], ...]:
    """Return the key of a plain hood, with what differs between the two languages."""
    decrease = (
        "invisible decrease: hook through the front loops of the next 2 sts,"
        f" {over} and draw through both, {over} and draw through the 2 loops left"
    )
    return (
        ("ch", "chain"),
        (sc, f"{single} crochet"),
        ("back loop", "of the two loops on top of a stitch, the one farther from you"),
        ("dec", decrease),
        ("sl st", "slip stitch"),
        ("whip stitch", "sewn over and over, the needle always from the same side"),
        ("st, sts", "stitch, stitches"),
        ("RS, WS", "right side, wrong side"),
    )


def _more(sc: str, single: str, over: str, skip: str) -> dict[Op, tuple[str, str]]:
    """Return the short words that only variants and add-ons use."""
    together = (
        f"2 {single} crochets worked together, for wrong side rows: hook through the next st,"
        f" {over} and draw up a loop, the same in the st after it, {over} and draw through the"
        " 3 loops"
    )
    return {
        Op.SC2TOG: (f"{sc}2tog", together),
        Op.INC: ("inc", f"increase: 2 {sc} in the same place, a st or a row end"),
        Op.SKIP: (skip, "leave out, work nothing into it"),
    }


KEY: Final = {
    Terms.US: _plain("sc", "single", "yarn over"),
    Terms.UK: _plain("dc", "double", "yarn round hook"),
}
MORE: Final = {
    Terms.US: _more("sc", "single", "yarn over", "skip"),
    Terms.UK: _more("dc", "double", "yarn round hook", "miss"),
}


def key_for(pattern: Pattern, terms: Terms) -> tuple[tuple[str, str], ...]:
    """Return the key to all short words that this pattern uses."""
    used = {o.op for part in pattern.parts for row in part.rows for o in row.operations}
    return (*KEY[terms], *(entry for op, entry in MORE[terms].items() if op in used))
