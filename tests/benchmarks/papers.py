"""How long a paper takes beside the bare drawing of the same marks.

    python3 -m tests.benchmarks.papers [rounds, 40]

Run by hand: no test times anything. Time is the processor's, so that others at work on the
machine disturb little. Every call that a paper makes to its canvas is recorded once and then
replayed on a bare canvas: what takes longer than the replay is the project's own deciding,
setting and tagging. The ratio shall be 1.5 or less. The second line of each
paper counts the view in, the third empties all caches first, the QR code's among them.
"""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from io import BytesIO
from statistics import median
from typing import Any, Final

from pypdf import PdfReader
from reportlab.pdfgen import canvas as pdfgen
from reportlab.pdfgen.canvas import Canvas

from documents import care_sheet, stitch_chart, work_ticket
from documents.care_view import care_view
from documents.chart_view import chart_view
from documents.fonts import REGULAR
from documents.page import Paper
from documents.ticket_view import ticket_view
from tests.documents.samples import ORDERS, Order

GOAL: Final = 1.5
ROUNDS: Final = 40
_BEGUN: Final = ("beginPath", "beginText")
_DRAWN: Final = ("drawPath", "drawText", "clipPath")

Call = tuple[str, tuple[Any, ...], dict[str, Any]]


@dataclass
class Tape:
    """The calls made to one object, a path or the canvas itself."""

    calls: list[Call] = field(default_factory=list)


class Recorder:
    """Stands before a canvas, a path or a text: it notes each call and passes it on."""

    def __init__(self, real: object, tape: Tape) -> None:
        self.real, self.tape = real, tape

    def __getattr__(self, name: str) -> object:
        found = getattr(self.real, name)
        if not callable(found):
            return found

        def call(*args: object, **kwargs: object) -> object:
            if name in _BEGUN:
                return Recorder(found(*args, **kwargs), Tape([(name, args, kwargs)]))
            noted = tuple(one.tape if isinstance(one, Recorder) else one for one in args)
            passed = tuple(one.real if isinstance(one, Recorder) else one for one in args)
            self.tape.calls.append((name, noted, kwargs))
            return found(*passed, **kwargs)

        return call


@contextmanager
def recording(tapes: list[Tape]) -> Iterator[None]:
    """Let each canvas that a paper opens be recorded."""
    names = vars(pdfgen)  # a paper takes it from there when it is drawn
    real = names["Canvas"]

    def open_canvas(*args: object, **kwargs: object) -> Recorder:
        tapes.append(Tape())
        return Recorder(real(*args, **kwargs), tapes[-1])

    names["Canvas"] = open_canvas
    try:
        yield
    finally:
        names["Canvas"] = real


def _again(canvas: Canvas, noted: Tape) -> object:
    """Make a recorded path or text on a canvas."""
    (begin, args, kwargs), *calls = noted.calls
    made = getattr(canvas, begin)(*args, **kwargs)
    for name, its, named in calls:
        getattr(made, name)(*its, **named)
    return made


def replay(tape: Tape, paper: Paper) -> bytes:
    """Draw the recorded marks on a bare canvas."""
    buffer = BytesIO()
    canvas = Canvas(
        buffer, pagesize=paper.size, invariant=1, lang="en",
        initialFontName=REGULAR,  # type: ignore[arg-type]  # the stubs take it for a number
    )  # fmt: skip
    for name, args, kwargs in tape.calls:
        if name in _DRAWN:
            made, *rest = args
            getattr(canvas, name)(_again(canvas, made), *rest, **kwargs)
        else:
            getattr(canvas, name)(*args, **kwargs)
    return buffer.getvalue()


def marks(pdf: bytes) -> list[list[bytes]]:
    """Return what each page draws, without the tags, which the bare canvas does not write."""
    pages = []
    for one in PdfReader(BytesIO(pdf)).pages:
        content = one.get_contents()
        lines = content.get_data().splitlines() if content else []
        pages.append([line for line in lines if not line.endswith((b"BDC", b"BMC", b"EMC"))])
    return pages


def forget() -> None:
    """Empty every cache of the papers, as for an order never seen before."""
    for name, module in tuple(sys.modules.items()):
        if name.startswith("documents."):
            for found in vars(module).values():
                if hasattr(found, "cache_clear"):
                    found.cache_clear()


def warm() -> None:
    """Leave the caches as they are."""


def compare(
    work: Callable[[], object],
    beside: Callable[[], object],
    rounds: int,
    before: Callable[[], None] = warm,
) -> None:
    """Print the median of work over the median of what stands beside it, taken in turns."""
    work()  # once each before any is counted
    beside()
    first: list[float] = []
    second: list[float] = []
    for _ in range(rounds):
        for one, taken in ((work, first), (beside, second)):
            before()
            begun = time.process_time()
            one()
            taken.append((time.process_time() - begun) * 1000)
    ratio = median(first) / median(second)
    over = "" if ratio <= GOAL else "!"
    print(f"{median(first):8.2f} {median(second):8.2f} {ratio:6.2f} {over}")


PAPERS: Final[dict[str, tuple[Callable[[Order], Any], Callable[[Any, Paper], bytes]]]] = {
    "ticket": (lambda made: ticket_view(*made), work_ticket.render),
    "care": (lambda made: care_view(*made), care_sheet.render),
    "chart": (lambda made: chart_view(*made), stitch_chart.render),
}


def measure(name: str, order: str, rounds: int) -> None:
    """Print both lines of one paper of one order."""
    decide, render = PAPERS[name]
    made = ORDERS[order]()
    view = decide(made)
    tapes: list[Tape] = []
    with recording(tapes):
        drawn = render(view, Paper.A4)
    (tape,) = tapes

    def bare() -> bytes:
        return replay(tape, Paper.A4)

    if marks(bare()) != marks(drawn):
        raise SystemExit(f"The replay of {name} does not draw the same marks.")
    print(f"{name:<8} {order:<8} {'drawing':<14}", end=" ")
    compare(lambda: render(view, Paper.A4), bare, rounds)
    print(f"{name:<8} {order:<8} {'view and all':<14}", end=" ")
    compare(lambda: render(decide(made), Paper.A4), bare, rounds)
    print(f"{name:<8} {order:<8} {'all, unseen':<14}", end=" ")
    compare(lambda: render(decide(made), Paper.A4), bare, rounds, forget)


def main(rounds: int) -> None:
    """Print the table."""
    print(f"{'paper':<8} {'order':<8} {'what':<14} {'ms':>8} {'bare ms':>8} {'ratio':>6}")
    for name in PAPERS:
        for order in ("toy", "medium", "giant"):
            measure(name, order, rounds)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else ROUNDS)
