"""Physics of a fit-out: pure functions on plain numbers, with nothing of this project imported.

Every function states its equation, units and source, and refuses values outside its range of
validity with a ValueError instead of returning a number that looks right.
"""
