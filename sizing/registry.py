"""pint's units, exact: fractions, not floats.

To read them takes a tenth of a start, and no answer needs them but one with a length; so this
module is imported by whoever first wants them. It is a module of its own because an import waits
for one that is under way: however many ask at once, they are read once.
"""

from fractions import Fraction
from typing import Final

import pint

UNITS: Final[pint.UnitRegistry[Fraction]] = pint.UnitRegistry(non_int_type=Fraction)
