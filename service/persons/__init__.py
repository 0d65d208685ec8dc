"""Personal data: one buyer's taken out, and one buyer erased.

What an erased order keeps, and what goes, stands in `erasing`; `docs/personal-data.md` says the
same for people.
"""
