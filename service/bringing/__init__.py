"""Bringing in: a table of buyers, dogs and orders out of a file, whole or not at all.

`sheet` reads the file, `lines` each line of it, `survey` what each would do, `doing` does it in
one transaction. Nothing here knows where the file came from.
"""
