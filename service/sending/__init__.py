"""Papers to buyers: what is sent, in whose words, and how it leaves.

A delivery is a row, written in the transaction of its cause; `deliver` sends it after.
"""
