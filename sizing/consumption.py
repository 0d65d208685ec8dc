"""The yarn that pieces use, by the two ways: per stitch and per area.

    yarn = e^(K + R) x sum(stitches x length x share x e^S) + seams and tails

K is the maker's factor (`sizing.calibrate`), R how one hood differs from the next, S the error
of each share; all normal. Mean and variance are exact; the lognormal with the same two stands
for the sum.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from math import exp, sqrt
from typing import Final

from sizing.calibrate import HOOD_SD
from sizing.evidence import Fact, memory, published
from sizing.gauge import Gauge
from sizing.lognormal import Lognormal, fitted
from sizing.pieces import TAILS, Piece
from sizing.rows import Op
from sizing.shrink import Belief
from sizing.strand import (
    AREA_SD,
    CHAIN,
    MM_PER_METRE,
    WHIP_WIDTHS,
    Share,
    mm_per_mm2,
    share_of,
)
from sizing.yarns import Yarn

TAIL: Final = Share(
    Fact(150.0, "mm per end", published("tails of 10 to 15 cm to weave in (tutorials)")),
    Fact(0.20, "log of the length", memory("judgement: a tail is torn off by eye")),
)
_CHAIN, _WHIP, _TAIL = "chain", "whip", "tail"

Strands = Mapping[str, float]
"""Middle lengths in mm by what they are used for: a kind of stitch, chain, whip or tail."""


Parts = Mapping[tuple[str, str], Strands]
"""Strands by part and colour."""


def _moments(share: Share) -> tuple[float, float]:
    """Return mean and variance of e^S."""
    square = share.sd.value**2
    return exp(square / 2), (exp(square) - 1) * exp(square)


_SHARES: Final = {op: share_of(op).share.value for op in Op}
_WHIP_STITCH, _BACK_LOOP, _INC = Op.WHIP, Op.SC_BLO, Op.INC
_NO_FABRIC: Final = frozenset({Op.WHIP, Op.SL_ST})
_LOOSE: Final = {_WHIP: _moments(WHIP_WIDTHS), _TAIL: _moments(TAIL)}
_WORKED: Final = {_CHAIN: _moments(CHAIN), **{op.value: _moments(share_of(op)) for op in Op}}


def strands_of(piece: Piece, gauge: Gauge, sc: tuple[float, float]) -> dict[str, float]:
    """Return a piece's yarn in mm by use, at factor 1, without its tails.

    Args:
        piece: the piece.
        gauge: of the hood; the whip stitches of a seam stand one to a stitch.
        sc: mm of yarn in a plain sc and in one at the rib's gauge.
    """
    plain, rib = sc
    own = rib if piece.rib else plain
    found = {_CHAIN: piece.chains * own * CHAIN.share.value} if piece.chains else {}
    for op, count in piece.counts:
        if op is _WHIP_STITCH:
            found[_WHIP] = count * WHIP_WIDTHS.share.value * gauge.stitch_mm
        else:
            each = rib if op is _BACK_LOOP else own
            found[op] = count * each * _SHARES[op]
    return found


def amount_of(strands: Strands, belief: Belief) -> Lognormal:
    """Return the yarn in mm, as a lognormal with the exact mean and variance."""
    worked = worked_var = loose = loose_var = 0.0
    for use, mm in strands.items():
        if use in _LOOSE:
            mean, variance = _LOOSE[use]
            loose += mm * mean
            loose_var += mm * mm * variance
        else:
            mean, variance = _WORKED[use]
            worked += mm * mean
            worked_var += mm * mm * variance
    square = belief.sd**2 + HOOD_SD.value**2
    factor = exp(belief.mean + square / 2)
    second = factor * factor * exp(square)
    variance = second * (worked_var + worked**2) - (factor * worked) ** 2 + loose_var
    return fitted(factor * worked + loose, variance)


def added(parts: Iterable[Strands]) -> dict[str, float]:
    """Return strands added up use by use."""
    whole: dict[str, float] = defaultdict(float)
    for strands in parts:
        for use, mm in strands.items():
            whole[use] += mm
    return whole


def metres_of(strands: Strands, belief: Belief) -> Lognormal:
    """Return the yarn in metres."""
    amount = amount_of(strands, belief)
    return Lognormal(amount.middle / MM_PER_METRE.value, amount.sd)


def by_part(
    pieces: Iterable[Piece], gauge: Gauge, sc: tuple[float, float]
) -> dict[tuple[str, str], dict[str, float]]:
    """Return the strands of each part in each colour; the tails of a colour are a part."""
    found: dict[tuple[str, str], list[Strands]] = defaultdict(list)
    tails: dict[tuple[str, str], list[Strands]] = defaultdict(list)
    for piece in pieces:
        found[piece.name, piece.colour].append(strands_of(piece, gauge, sc))
        if piece.ends:
            tails[TAILS, piece.colour].append({_TAIL: piece.ends * TAIL.share.value})
    return {key: added(strands) for key, strands in (found | tails).items()}


def _fabric_mm2(pieces: Iterable[Piece], gauge: Gauge) -> float:
    """Return the area of fabric: each stitch that makes a loop covers its cell."""
    plain, rib = gauge.stitch_mm * gauge.row_mm, gauge.rib_stitch_mm * gauge.rib_row_mm
    area = 0.0
    for piece in pieces:
        own = rib if piece.rib else plain
        for op, count in piece.counts:
            if op not in _NO_FABRIC:
                loops = 2 * count if op is _INC else count
                area += loops * (rib if op is _BACK_LOOP else own)
    return area


def second_way(pieces: Iterable[Piece], gauge: Gauge, yarn: Yarn, whole: Strands) -> Lognormal:
    """Return the metres worked out from the area of the fabric."""
    loose = sum([mm for use, mm in whole.items() if use in _LOOSE])
    worked = _fabric_mm2(pieces, gauge) * mm_per_mm2(yarn)
    return Lognormal(
        (worked + loose) / MM_PER_METRE.value, sqrt(AREA_SD.value**2 + HOOD_SD.value**2)
    )
