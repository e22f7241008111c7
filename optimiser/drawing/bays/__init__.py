"""Elevations of the bays with what stands on their boards; bays opened out and in three dimensions, with cables."""

from optimiser.drawing.bays.elevations import bay_elevations
from optimiser.drawing.bays.isometric import isometric_bays
from optimiser.drawing.bays.opened import opened_bays
