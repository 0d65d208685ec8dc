"""SVG path data drawn with the PDF pen."""

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from documents.pen import INK, PAPER, Pen

if TYPE_CHECKING:
    from reportlab.pdfgen.pathobject import PDFPathObject

Step = tuple[str, tuple[float, ...]]


@cache
def steps(data: str) -> tuple[Step, ...]:
    """Return the commands of absolute path data (M, L, C, Z) with their numbers.

    Raises:
        ValueError: if a command is unknown or lacks a number.
    """
    wanted = {"M": 2, "L": 2, "C": 6, "Z": 0}
    words = iter(data.split())
    found: list[Step] = []
    for word in words:
        if word not in wanted:
            raise ValueError(f"“{word}” is no command of path data.")
        numbers = tuple(float(next(words, "missing")) for _ in range(wanted[word]))
        found.append((word, numbers))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a drawing lies on the page: its upper left corner and points per drawing unit."""

    pen: Pen
    left: float
    top: float
    scale: float

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Return the place on the page of a point of the drawing."""
        return self.left + x * self.scale, self.top - y * self.scale

    def _path(self, data: str) -> "PDFPathObject":
        path = self.pen.canvas.beginPath()
        for command, numbers in steps(data):
            pairs = zip(numbers[::2], numbers[1::2], strict=True)
            spots = [part for x, y in pairs for part in self.at(x, y)]
            if command == "M":
                path.moveTo(*spots)
            elif command == "L":
                path.lineTo(*spots)
            elif command == "C":
                path.curveTo(*spots)
            else:
                path.close()
        return path

    def stroke(
        self, data: str, weight: float, tone: float = INK, dash: tuple[float, ...] = ()
    ) -> None:
        """Draw path data as a line; weight and dash are in drawing units."""
        canvas = self.pen.canvas
        canvas.setStrokeGray(tone)
        canvas.setLineWidth(weight * self.scale)
        canvas.setDash([part * self.scale for part in dash])
        canvas.setLineCap(0 if dash or tone == PAPER else 1)
        canvas.setLineJoin(1)
        canvas.drawPath(self._path(data), stroke=1, fill=0)
        canvas.setDash([])
        canvas.setLineCap(0)

    def fill(self, data: str, tone: float = INK) -> None:
        """Fill path data."""
        self.pen.canvas.setFillGray(tone)
        self.pen.canvas.drawPath(self._path(data), stroke=0, fill=1)
