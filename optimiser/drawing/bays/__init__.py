"""Elevations of the bays: boards with what stands on them, vents and openings."""

from optimiser.drawing.bays.elevations import bay_elevations
