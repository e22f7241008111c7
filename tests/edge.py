"""A limit to be tried on either side."""

from typing import Any, NamedTuple

from tests import handmade
from tests.handmade import World
from tests.knobs import changed


class Edge(NamedTuple):
    """A requirement (of a place, or of any), and values of one knob on either side of its limit."""

    requirement: str
    knob: str
    inside: Any
    outside: Any
    given: tuple[tuple[str, Any], ...] = ()  # set beforehand

    def world(self, value: Any) -> World:
        world = handmade.world()
        for knob, before in self.given:
            world = changed(world, knob, before)
        return changed(world, self.knob, value)
