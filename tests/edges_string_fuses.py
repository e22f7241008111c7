"""Values on either side of what the fuse of a string is held to; see `edges`."""

from optimiser.parts import StringFuse
from tests.edge import Edge

FUSE = StringFuse(
    name="string-fuse-10", price=9, sundries=1, mass_kg=0.06, minutes=6, rating_a=10, volt_max_v=1000
)  # fmt: skip
FUSED = (  # each string has one, as the rule set asks of a single string too
    ("more.string_fuses", FUSE),
    ("parts.panel-100.fuse_max_a", 15),
    ("rules.string_fuse_from", 1),
    ("arrays.a.fuse", FUSE.name),
)
STRING_FUSES = [
    Edge("string.parallel[a]", "arrays.a.fuse", FUSE.name, "", FUSED),
    Edge("string.fuse_over_load[a]", f"parts.{FUSE.name}.rating_a", 8.125, 8.12, FUSED),  # 5.2 x 1.25 x 1.25
    Edge("string.fuse_over_load[a]", "rules.solar_continuous_factor", 1.53, 1.54, FUSED),  # 10 / 5.2 / 1.25 = 1.538
    Edge("string.fuse_under_panel[a]", "parts.panel-100.fuse_max_a", 10, 9.9, FUSED),
    Edge("string.fuse_voltage[a]", f"parts.{FUSE.name}.volt_max_v", 52.32, 52.31, FUSED),  # as string.cold_voltage
]
