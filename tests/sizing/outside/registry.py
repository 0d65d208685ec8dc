"""All rows, by theme."""

from tests.sizing.outside import (
    algebra,
    balls,
    breeds,
    doctor,
    dogs,
    fit,
    gauge,
    geometry,
    labour,
    lengths,
    machine,
    price,
    surety,
    thickness,
    yarn,
)
from tests.sizing.outside.check import Check

THEMES: dict[str, tuple[Check, ...]] = {
    "Lengths and units": lengths.CHECKS,
    "Geometry": geometry.CHECKS,
    "Gauge and hook": gauge.CHECKS,
    "Stretch and fit": fit.CHECKS,
    "How sure the fit is": surety.CHECKS,
    "The stitch machine": machine.CHECKS,
    "Yarn": (*yarn.CHECKS, *thickness.CHECKS),
    "Balls and chances": balls.CHECKS,
    "Time": labour.CHECKS,
    "Price": price.CHECKS,
    "The measurement doctor": (*algebra.CHECKS, *doctor.CHECKS),
    "Dogs": (*dogs.CHECKS, *breeds.CHECKS),
}
ROWS: tuple[Check, ...] = tuple(check for checks in THEMES.values() for check in checks)
