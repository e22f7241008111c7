"""Values on either side of what 12 V circuits and their fuse panel are held to; see `edges`."""

from optimiser import builds as b
from optimiser import case as c
from optimiser.parts import DcPanel
from tests import handmade
from tests.edge import Edge

PANEL = DcPanel(
    name="panel-of-4", price=20, sundries=2, mass_kg=0.2, minutes=12, ways=4, way_max_a=20, rating_a=50,
    family="bolt-in", terminal_mm2=6, feed_mm2=10,
)  # fmt: skip
COLD = b.Run("circuit_cold", "loads_point", "sink_point", ("sink_way",), "dc-6", "fuse-10")
CIRCUITS = (  # the fridge at the sink, the lamps as they are wired
    ("more.dc_panels", PANEL),
    ("brief.dc_circuits", (c.DcCircuit(name="cold", point="sink_point"), c.DcCircuit(name="light", wired=True))),
    ("loads.fridge.circuit", "cold"),
    ("loads.lamps.circuit", "light"),
    ("ways", (*handmade.case().ways, handmade.way("sink_way", "loads_point", "sink_point", 1000, 25))),
    ("runs", (*handmade.build().runs, COLD)),
    ("build.dc_panel", PANEL.name),
)
OF = f"parts.{PANEL.name}"
PANELS = [
    Edge("panel.ways", f"{OF}.ways", 2, 1, CIRCUITS),
    Edge("panel.way_rating[circuit_cold]", f"{OF}.way_max_a", 10, 9.9, CIRCUITS),
    Edge("panel.rating", f"{OF}.rating_a", 10, 9.9, CIRCUITS),  # the fuse before it; 7.5 A of loads
    Edge("preference.spare_ways", "preferences.spare_ways", 2, 3, CIRCUITS),
    Edge("run.terminal[circuit_cold]", f"{OF}.terminal_mm2", 6, 5.9, CIRCUITS),
    Edge("run.terminal[dc_loads]", f"{OF}.feed_mm2", 6, 5.9, CIRCUITS),
    # 146.389 A in 3.2 m and in links as in 0.37 m of 0.3864 ohm/km, 7.5 A in 3.6 m of 3.3, 5 A in 3.6 m of 3.3 or in
    # 3.8 m, at 70 C: 0.4193 and 0.4232 V of 0.42; it is cut in steps of 100 mm
    Edge("run.drop[circuit_cold]", "ways.sink_way.length_mm", 1800, 1801, CIRCUITS),
]
