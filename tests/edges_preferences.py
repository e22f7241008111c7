"""Values on either side of what the shop likes; see `edges`."""

from optimiser import case as c
from tests.edge import Edge

WIDE_BOX = ("parts.mains-box-2.circuits", 4)
PREFERENCES = [
    Edge("preference.wanted[panels.kind=flexible]", "parts.panel-100.kind", "flexible", "rigid",
         given=(("preferences.wanted", ("panels.kind=flexible",)),)),
    Edge("preference.banned[panels.kind=flexible]", "parts.panel-100.kind", "rigid", "flexible",
         given=(("preferences.banned", ("panels.kind=flexible",)),)),
    Edge("preference.solar_section[solar_a]", "preferences.solar_section_mm2", 6, 6.1),
    Edge("preference.panel_types", "preferences.panel_types_at_most", 1, 0),
    *(
        Edge(f"preference.place[{control}]", f"preferences.{control}_at", here, elsewhere)
        for control in c.CONTROLS
        for here, elsewhere in (("locker", "nose"), ("locker.wall", "nose.side"))
    ),
    # six studs; inverter, regulator, alternator charger, mains charger and the 12 V loads
    Edge("preference.spare_studs", "preferences.spare_studs", 1, 2),
    Edge("preference.spare_circuits", "preferences.spare_circuits", 2, 3, given=(WIDE_BOX,)),  # of four, two are used
]  # fmt: skip
