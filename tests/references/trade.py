"""Facts of the trade: common practice, no source, 2026-11."""

CABLES_IN_BORE = ((20, 6.1, 4), (25, 6.1, 6), (25, 8.5, 3), (32, 8.5, 5), (50, 12.0, 6), (50, 14.0, 5))
"""Bore [mm], outside diameter [mm], how many cables go in at 40 % (computed)."""

MORNING_A, MIDDAY_A, OVERCAST_A = 5.3, 6.1, 2.2
"""Charge at 12 V per 100 W of flat rigid panel, early summer at 27 to 34 S: clear at 09:30, clear later in the day,
and averaged over a humid overcast day in the low thirties from 08:00 to 18:00."""

AIR_CONDITIONER_W, AIR_CONDITIONER_A, AIR_CONDITIONER_AH = 700, 58, 450
"""At the socket; from a 12 V bank; over ten hours of such a day held at 22 C."""

FRIDGE_W, FRIDGE_COOL_DUTY, FRIDGE_HOT_DUTY = 90, 0.375, 0.70
"""Compressor fridge, the larger class: running, share of time on a cool day (30 to 45 %) and at most on a hot one."""
FRIDGE_COOL_A, FRIDGE_HOT_A = 2.5, 5.0
COLD_CAPACITY = ((0.0, 0.80), (-20.0, 0.50))
"""Cells of a lithium bank at so many C, share of their nominal capacity that they give (one table of the trade)."""
BANK_V, CHARGING_V = 12.8, 13.3
"""A lithium bank under load, and taking charge."""

BENDS = (
    (1.5, 3.0, 15), (2.5, 3.6, 18), (4, 4.4, 22), (6, 5.0, 25), (10, 6.8, 35), (16, 8.5, 45), (25, 10.5, 55),
    (35, 12.0, 65), (50, 14.0, 75), (70, 16.5, 90), (95, 18.5, 105), (120, 20.5, 120),
)  # fmt: skip
"""Flexible copper cable: section [mm2], outside diameter, least bend radius [mm]; from memory."""

PV_OUTSIDE_MM, PV_BEND = 6.1, 4
"""Cable for panels of 6 mm2; least bend radius in outside diameters where it is fixed (second hand)."""
