"""Holes and feet that a build needs and nobody surveyed: proposed places, each from a named datum."""
