"""The pack's page: one file of HTML that needs nothing beside it."""

from optimiser.packing.page.rendering import page
