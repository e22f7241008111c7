"""The design basis: what a case asks of its parts, in floats, from physics, case and parts alone.

The audit and the tables both stand on it. It decides nothing and knows no solver: limits are held
against these figures elsewhere, twice, by code that does not know of each other.
"""
