"""The pure core: a dog's measurements in, a proved pattern and its cost out.

Nothing here reads a clock, a file or the network. Lengths are millimetres, weights
kilograms, times minutes, money Decimal. Every number that is not arithmetic is a
`sizing.evidence.Fact` and says where it comes from.
"""
