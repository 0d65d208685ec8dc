"""The stitch machine: works a pattern on live loops and refuses it if a stitch is wrong.

It is written apart from the pattern maker and knows nothing of row plans, of gauge or of
millimetres: it has a hook, the loops of the row below, and the rules of the craft.

* Each operation takes loops from the near end of the row below and makes loops of the new
  row (`sizing.machine.hook` has the table). Slip stitch seam: a loop of the last row and a loop
  of the foundation chain, none made. Whip stitch: 2 loops of the two halves, none made.
* Flat work is turned after each row, so the row below is then met from its other end, and the
  right and the wrong side change. Rounds run on in a spiral.
* A loop remembers how many stitches of the first row stand under it. That shows whether the
  decreases are at the centre back: the two halves beside the fold must be alike.
* Loops side by side that are alike are held, taken and made together: their number is counted,
  and no stitch is left out.
* A row must use up the row below: a loop left over is a fault, and so is one missing.
* A stitch may be skipped only under as many chains, and each of these chains must be worked
  into in the next row: an opening is closed by the row after it.
* Row ends are loops too: the hood takes those of the collar but the overlap of a buttoned
  one, an edging those of both front edges.
"""

from sizing.machine.tally import Replay, Tally, tally, total
from sizing.machine.whole import Held, replay, resume, worked

__all__ = ["Held", "Replay", "Tally", "replay", "resume", "tally", "total", "worked"]
