"""Taking out: the whole shop as tables, and the same shop again out of them.

Every table goes out, so that nobody has to ask for their own data; `again` reads both forms back
into an empty database.
"""
