"""A QR code drawn as squares of the pen."""

from functools import lru_cache
from typing import Final

from documents.pen import INK, Pen

Cells = tuple[tuple[bool, ...], ...]

_MASKS: Final = (2, 3)
"""Masks that are tried, of the eight of ISO/IEC 18004: for a web address one of them is the best
or nearly so, and a reader takes any. To weigh all takes three times as long."""


@lru_cache(maxsize=64)
def cells(text: str) -> Cells:
    """Return the code of a text, row by row, True for a dark cell.

    Kept for a while, because a ticket is often made twice in a row, as on two papers.
    """
    from reportlab.graphics.barcode.qr import QrCodeWidget  # noqa: PLC0415 - drawing alone needs it
    from reportlab.graphics.barcode.qrencoder import QRUtil  # noqa: PLC0415 - as above

    code = QrCodeWidget(text, barLevel="M").__dict__["qr"]
    code.version = code.calculate_version()

    def penalty(mask: int) -> float:
        code.makeImpl(test=True, maskPattern=mask)
        return float(QRUtil.getLostPoint(code))  # type: ignore[no-untyped-call]  # as it comes

    code.makeImpl(test=False, maskPattern=min(_MASKS, key=penalty))
    return tuple(tuple(bool(cell) for cell in row) for row in code.modules)


def draw_qr(pen: Pen, left: float, top: float, side: float, text: str) -> None:
    """Draw a QR code of a text from its upper left corner; a tap on it opens the address."""
    rows = cells(text)
    cell = side / len(rows)
    path = pen.canvas.beginPath()
    for down, row in enumerate(rows, start=1):
        for across, dark in enumerate(row):
            if dark:
                path.rect(left + across * cell, top - down * cell, cell, cell)
    pen.canvas.setFillGray(INK)
    pen.canvas.drawPath(path, stroke=0, fill=1)
    pen.canvas.linkURL(text, (left, top - side, left + side, top), relative=1)
