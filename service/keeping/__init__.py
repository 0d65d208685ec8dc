"""Nothing lost: copies of the database, tried as they are made; checks, tables out and in.

A copy is one zip: the database, and a list of its tables with the number and a digest of their
rows. It is read back into an empty place and compared before it is called a copy.
"""
