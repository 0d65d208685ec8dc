"""The gate: everything that is asked of the application comes by here first.

`fence` is the outermost: headers, the log, faults. `guard` inside it decides by the one table of
`table` who may do what, before any body is understood.
"""
