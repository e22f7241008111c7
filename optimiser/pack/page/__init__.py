"""The pack's page: one file of HTML that needs nothing beside it."""

from optimiser.pack.page.rendering import page

__all__ = ["page"]
