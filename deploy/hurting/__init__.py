"""A running server hurt for real, and what it kept counted after: run by deploy/faults.py."""
