"""Elevations of the bays: boards with what stands on them, vents and openings; and bays opened out, with cables."""

from optimiser.drawing.bays.elevations import bay_elevations
from optimiser.drawing.bays.opened import opened_bays
