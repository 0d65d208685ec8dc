"""The bench: the work of a hood step by step, what was tapped, and the maker's own pace.

What was tapped is kept as events that are never changed. Where the work stands is worked out
from all of them, in whatever order they came: a phone that was without a connection sends its
taps late, and nothing is lost.
"""
