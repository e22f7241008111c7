"""ABYC E-11 bundling. State: 2nd hand (the standard itself was not seen), 2026-11."""

DC_FACTOR, DC_FROM_MM = 0.70, 610
"""11.14.3.7.1: any count of cables bundled over more than 24 in."""

AC_FACTORS = {3: 0.70, 4: 0.60, 6: 0.60, 7: 0.50, 24: 0.50, 25: 0.40}
"""Table VI: conductors in the bundle: factor."""

BUNDLED_2_AWG_A = {3: (147, 124.95), 4: (126, 107.1), 7: (105, 89.25)}
"""2 AWG with 105 C insulation, 210 A: conductors: bundled, and also in an engine space [A] (computed)."""

STARTER_FAULTS_A = {1: 1500, 650: 1500, 651: 3000, 1100: 3000, 1101: 5000, 2000: 5000}
"""Table V-A of an older edition, 12 and 24 V: cold-cranking amperes: what the main fuse must break [A]."""
