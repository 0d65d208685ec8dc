"""Scripts that start, check and lock Hoodwright from a bare checkout."""
