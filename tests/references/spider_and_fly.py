"""The spider and the fly, Weekly Dispatch, 14 June 1903, with its solution as retold on public pages, 2026-11."""

ROOM = (30, 12, 12)
SPIDER, FLY = (0, 6, 11), (30, 6, 1)
"""Feet, FOUND: in the middle of the two ends, 1 from the ceiling and 1 from the floor."""

SQUARE, STRAIGHT = 42, 40
"""FOUND: by wall, ceiling and wall, which most people take for the shortest, and straight on a net."""
NETS = (42, 43.174, 40.718, 40)
"""FOUND: straight on each of the four most favourable nets."""
