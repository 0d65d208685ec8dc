"""A pen over the canvas: the few marks that the papers are made of.

Coordinates are points from the lower left corner of the type area, y upwards.
"""

from collections.abc import Generator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from documents.fonts import BOLD, CAP_HEIGHT, REGULAR, width
from documents.structure import Structure
from documents.text import Line

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

INK: Final = 0.0
SOFT: Final = 0.32
"""Grey for second-rank words: 9 to 1 against white, and solid on a black-and-white printer."""
HAIR: Final = 0.55
WASH: Final = 0.93
PAPER: Final = 1.0

HAIRLINE: Final = 0.5


def middle(y: float, size: float, lines: int = 1, leading: float = 0.0) -> float:
    """Return the first baseline that centres lines of text on the height `y`."""
    return y + (lines - 1) * leading / 2 - CAP_HEIGHT * size / 2


@dataclass(frozen=True, slots=True)
class Pen:
    """Draws on the pages of one paper.

    Attributes:
        canvas: for drawing beyond these marks; what is drawn on it is decoration.
        structure: what a screen reader reads; `with pen.structure.element("P"):` around some
            text makes it a paragraph.
    """

    canvas: "Canvas"
    structure: Structure

    @contextmanager
    def heading(self, level: int, title: str, top: float) -> Generator[None]:
        """Make the text that is drawn here a heading, with a bookmark at the height `top`."""
        self.structure.bookmark(title, level, top)
        with self.structure.element(f"H{level}"):
            yield

    def text(
        self, x: float, y: float, text: str, size: float, font: str = REGULAR, tone: float = INK
    ) -> None:
        """Write a text that begins at x on the baseline y."""
        if not text:
            return  # nothing said is no piece of the structure
        with self.structure.said():
            self.canvas.setFillGray(tone)
            self.canvas.setFont(font, size)
            self.canvas.drawString(x, y, text)

    def right(
        self, x: float, y: float, text: str, size: float, font: str = REGULAR, tone: float = INK
    ) -> None:
        """Write a text that ends at x."""
        self.text(x - width(text, font, size), y, text, size, font, tone)

    def centre(
        self, x: float, y: float, text: str, size: float, font: str = REGULAR, tone: float = INK
    ) -> None:
        """Write a text with x in its middle."""
        self.text(x - width(text, font, size) / 2, y, text, size, font, tone)

    def run(self, x: float, y: float, line: Line, size: float) -> None:
        """Write one line of runs in one text object, so that it is also read as one line."""
        with self.structure.said():
            self.canvas.setFillGray(INK)
            words = self.canvas.beginText(x, y)
            for text, font in line:
                words.setFont(font, size)
                words.textOut(text)
            self.canvas.drawText(words)

    def lines(
        self,
        x: float,
        y: float,
        lines: tuple[Line, ...],
        size: float,
        leading: float,
        indent: float = 0.0,
    ) -> None:
        """Write the lines of one text downwards from the baseline y, the first one indented."""
        for place, line in enumerate(lines):
            if not line:
                continue
            *before, (text, font) = line
            last = place == len(lines) - 1
            whole = line if last else (*before, (f"{text} ", font))  # or words read as one
            self.run(x if place else x + indent, y - place * leading, whole, size)

    def rule(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        weight: float = HAIRLINE,
        tone: float = HAIR,
    ) -> None:
        """Draw a straight line."""
        self.canvas.setStrokeGray(tone)
        self.canvas.setLineWidth(weight)
        self.canvas.line(x1, y1, x2, y2)

    def box(self, x: float, y: float, wide: float, high: float, weight: float = 0.9) -> None:
        """Draw an empty box from its lower left corner, to tick or to write in."""
        self.canvas.setStrokeGray(INK)
        self.canvas.setLineWidth(weight)
        self.canvas.rect(x, y, wide, high, stroke=1, fill=0)

    def fill(self, x: float, y: float, wide: float, high: float, tone: float = WASH) -> None:
        """Fill an area with a tone."""
        self.canvas.setFillGray(tone)
        self.canvas.rect(x, y, wide, high, stroke=0, fill=1)

    def disc(self, x: float, y: float, sign: str, size: float = 8.0) -> None:
        """Draw a black disc with a white sign in it, centred on a point."""
        self.canvas.setFillGray(INK)
        self.canvas.circle(x, y, size * 0.78, stroke=0, fill=1)
        self.centre(x, middle(y, size), sign, size, BOLD, PAPER)

    def wedge(self, x: float, y: float, size: float) -> None:
        """Draw a small triangle that points down: work gets narrower here."""
        path = self.canvas.beginPath()
        path.moveTo(x, y + size / 2)
        path.lineTo(x + size, y + size / 2)
        path.lineTo(x + size / 2, y - size / 2)
        path.close()
        self.canvas.setFillGray(INK)
        self.canvas.drawPath(path, stroke=0, fill=1)
