"""Shapes to sew on: a flat disc, a cone for a horn, a tube, a leaf for an ear.

Disc, cone and tube are worked in a spiral from a ring: no seam, no joining stitch that leans.
A leaf is worked flat from its base to its tip. All are sized in mm from the plain gauge.
"""

from sizing.addons.safety import SAFETY, check_size
from sizing.addons.shapes import AddOn, Shape, Sized, increases_per_round, part_of, sized

__all__ = [
    "SAFETY",
    "AddOn",
    "Shape",
    "Sized",
    "check_size",
    "increases_per_round",
    "part_of",
    "sized",
]
