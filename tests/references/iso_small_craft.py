"""ISO 10133 and ISO 13297, small craft, 2026-11."""

DROP_OHM_MM2_M = 0.0164
"""ISO 10133 annex, 2nd hand: E = 0.0164 I L / S with L out and back. Below even ideal copper at 20 C, hence
only a lower bound for real cable."""

DROPS = (
    (50, 8, 16, 0.410, 0.484, 0.579),
    (100, 4, 50, 0.1312, 0.1544, 0.185),
    (10, 12, 2.5, 0.7872, 0.9576, 1.146),
)
"""Current [A], length out and back [m], section [mm2]; drop by ISO, of class 5 at 20 C and at 70 C [V] (computed)."""

FUSE_SHARE = 1.0
"""ISO 13297:2020+A1 13.1.5, FOUND for a.c.; its d.c. twin from memory: largest fuse rating over ampacity."""
