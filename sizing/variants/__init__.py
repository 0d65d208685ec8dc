"""Variants of the hood: what they are in whole stitches and rows, or why they cannot be.

Each takes a row plan, a gauge and lengths in mm and returns whole numbers; `sizing.pattern`
makes rows of them and the stitch machine, which knows none of this, works them.
"""

from sizing.variants.buttoned import BUTTON, Buttoned, buttoned_collar
from sizing.variants.ears import EarSlots, ear_openings
from sizing.variants.edging import EdgingStitch, edging_of
from sizing.variants.make import PLAIN, Make
from sizing.variants.pickup import pick_up
from sizing.variants.stripes import Stripe, Stripes

__all__ = [
    "BUTTON",
    "PLAIN",
    "Buttoned",
    "EarSlots",
    "EdgingStitch",
    "Make",
    "Stripe",
    "Stripes",
    "buttoned_collar",
    "ear_openings",
    "edging_of",
    "pick_up",
]
