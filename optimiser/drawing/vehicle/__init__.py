"""The vehicle from above and from the right, with bays, ways and the runs in them."""

from optimiser.drawing.vehicle.views import vehicle_views
