"""Values on either side of what the brief asks for by size; see `edges`."""

from tests.edge import Edge

SIZES = [
    Edge("size.mains_charge", "limits.mains_charge_a", 22.5, 22.51),  # 30 A, in air of 50 C three quarters of it
    Edge("size.mains_charge", "parts.mains-charger-30.charge_a", 24, 23.9, given=(("limits.mains_charge_a", 18),)),
    Edge("size.solar", "limits.solar_w", 200, 200.1),  # two of 100 W
    Edge("size.solar", "parts.panel-100.watt_w", 80, 79.9, given=(("limits.solar_w", 160),)),
    Edge("size.bank", "limits.bank_ah", 200, 200.1),  # two of 100 Ah in parallel
    Edge("size.bank", "parts.module-100.capacity_ah", 95, 94.9, given=(("limits.bank_ah", 190),)),
    Edge("size.inverter", "limits.inverter_w", 1500, 1501),  # at 25 C; in air of 50 C it gives 925
]
