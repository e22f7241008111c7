"""What a fitter accepts at commissioning: common practice, no source, 2026-11; what is second hand says so."""

PROTECTIVE_OHM, INSULATION_MOHM = 0.5, 1.0
"""Second hand: protective conductor at most, insulation at least; local values may differ."""
TRIP_MS, TRIP_5X_MS = 300, 40
"""Second hand: residual-current device at its rated current and at five times it."""

VOC_PCT, ISC_PCT, STRINGS_PCT = (3, 5), (5, 8), 2
"""A string beside its sheet at the day's temperature, at the day's light; strings beside each other."""
POWER_PCT = (85, 95)
"""Of what cells give at the day's light and temperature."""
CHARGE_PCT = 5
FEED_V, ALTERNATOR_C = 0.1, (100, 110)
"""Input drop of an alternator charger beyond its design; case of the alternator."""
JOINT_MV_100A = (10, 15)
HOLD_V = 0.5
"""Above the inverter's cut-off while the largest load starts."""
LUG_K, BAY_C, ZERO_A = 30, 50, 0.1
MASS_KG, MASS_PCT = 5, 3
