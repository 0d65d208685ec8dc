"""A reader of row sentences, written apart from the writer: English in, stitches out.

It knows only how a maker reads: what each phrase puts where. From the sentence and the number of
stitches (or row ends) below it rebuilds every stitch in order.
"""

import re

from sizing.rows import Op

SC = {"US": "sc", "UK": "dc"}
SKIP = {"US": "skip", "UK": "miss"}
OF_TWO = {"dec": Op.DEC, "sc2tog": Op.SC2TOG, "dc2tog": Op.SC2TOG}


def _phrases(sentence: str) -> list[str]:
    """Cut at commas, but not inside brackets."""
    return re.split(r", (?![^\[]*\])", sentence)


def _stitch(name: str, terms: str, place: str) -> Op:
    if name == f"{SC[terms]} in the back loop":
        return Op.SC_BLO
    if name == SC[terms]:
        return Op.SC_CH if place == "ch" else Op.SC
    return {"inc": Op.INC, "sl st": Op.SL_ST}[name]


def _number(words: str) -> int:
    found = re.search(r"\d+", words)
    return int(found[0]) if found else 1


def _each(phrase: str, terms: str, left: int) -> list[Op]:
    """Read `1 sc in each of next 4 sts`, `1 inc in next row end`, `1 sc in each st to end`."""
    found = re.fullmatch(
        r"1 (.+?) (?:in|of) (each|next|each of next (\d+)) (st|row end|ch)s?"
        r"(?: (to end|around|of the collar|of both front edges))?",
        phrase,
    )
    assert found, phrase
    assert (found[2] == "each") == bool(found[5]), phrase
    many = left if found[2] == "each" else int(found[3] or 1)
    return [_stitch(found[1], terms, found[4])] * many


def _plain(phrase: str, terms: str, left: int) -> list[Op] | None:
    """Read a phrase whose words stand for one kind of stitch; None where it is none of these."""
    sc = SC[terms]
    once = {f"1 {sc} in 2nd ch from hook": 1, f"1 {sc} in each ch to end": left}
    kinds = {
        rf"\d+ {sc} into the ring": Op.SC,
        r"ch \d+": Op.CH,
        rf"{SKIP[terms]} next (\d+ )?(st|row end)s?": Op.SKIP,
        r"leave the last (\d+ )?row ends? free": Op.SKIP,
    }
    if phrase in once:
        return [Op.SC] * once[phrase]
    for pattern, op in kinds.items():
        if re.fullmatch(pattern, phrase):
            return [op] * _number(phrase)
    return None


def _one(phrase: str, terms: str, left: int) -> list[Op]:
    """Read one phrase; `left` is what is still to be worked into."""
    if again := re.fullmatch(r"\[(.+)\] (\d+) times", phrase):
        once = [op for part in _phrases(again[1]) for op in _one(part, terms, left)]
        return once * int(again[2])
    if pairs := re.fullmatch(r"(\d+) (\w+) over the next (\d+) sts", phrase):
        assert int(pairs[3]) == 2 * int(pairs[1])
        return [OF_TWO[pairs[2]]] * int(pairs[1])
    plain = _plain(phrase, terms, left)
    return _each(phrase, terms, left) if plain is None else plain


TAKES = {Op.DEC: 2, Op.SC2TOG: 2, Op.CH: 0}
MAKES = {Op.INC: 2, Op.SKIP: 0}


def read_row(text: str, terms: str, below: int) -> tuple[list[Op], int, str]:
    """Return the stitches in order, how many the sentence says there are, and the colour."""
    found = re.fullmatch(r"(?:In ([^:]+): )?(.+)\. \((\d+) sts?\)", text)
    assert found, text
    steps: list[Op] = []
    for phrase in _phrases(found[2]):
        used = sum(TAKES.get(op, 1) for op in steps)
        steps += _one(phrase, terms, below - used)
    return steps, int(found[3]), found[1] or ""


def after(steps: list[Op]) -> tuple[int, int]:
    """Return the stitches used of the row below, and the stitches made."""
    return sum(TAKES.get(op, 1) for op in steps), sum(MAKES.get(op, 1) for op in steps)
