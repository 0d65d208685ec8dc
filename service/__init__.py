"""Orders, kept and served: the only part of Hoodwright that meets files, clocks and networks."""

VERSION = "0.1.0"
