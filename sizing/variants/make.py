"""How this hood is made: every variant in whole stitches and rows."""

from dataclasses import dataclass
from typing import Final

from sizing.rows import Operation, Part
from sizing.variants.buttoned import Buttoned
from sizing.variants.ears import EarSlots
from sizing.variants.stripes import Stripes


@dataclass(frozen=True, slots=True)
class Make:
    """The variants of one hood; the plain hood has none.

    Attributes:
        turning_chain: chains after each turn.
        buttoned: the overlap and buttonholes, or None for a collar joined to a tube.
        ears: openings for the ears, or None.
        stripes: colours of the rows, or None for one colour.
        edging: the row round the face; empty for none.
        add_ons: shapes to sew on.
    """

    turning_chain: int = 0
    buttoned: Buttoned | None = None
    ears: EarSlots | None = None
    stripes: Stripes | None = None
    edging: tuple[Operation, ...] = ()
    add_ons: tuple[Part, ...] = ()

    @property
    def buttons(self) -> int:
        """Return how many buttons are sewn on."""
        return self.buttoned.buttons if self.buttoned else 0


PLAIN: Final = Make()
