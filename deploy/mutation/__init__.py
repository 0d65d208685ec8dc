"""Mutation testing of `sizing`: see `deploy/mutate.py`."""
