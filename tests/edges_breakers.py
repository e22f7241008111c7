"""Values on either side of what a mains box that the build fills is held to; see `edges`."""

from typing import Any

from optimiser import builds as b
from optimiser import case as c
from optimiser.parts import Breaker
from tests import handmade
from tests.edge import Edge

_BOUGHT: dict[str, Any] = {
    "price": 10,
    "sundries": 1,
    "mass_kg": 0.2,
    "minutes": 6,
    "breaking_mains_a": 6000,
    "modules": 2,
}


def _breaker(name: str, rating_a: float, **other: Any) -> Breaker:
    return Breaker(name=name, rating_a=rating_a, **({"kind": "breaker"} | _BOUGHT | other))


def _residual(name: str, rating_a: float, kind: str = "residual") -> Breaker:
    return _breaker(name, rating_a, kind=kind, residual_ma=30, residual_type="A")


DEVICES = (
    _breaker("breaker-10", 10),
    _breaker("breaker-main", 10),
    _breaker("breaker-sockets", 10),
    _residual("residual-25", 25),
    _residual("residual-inverter", 25),
    _residual("combined-10", 10, "combined"),
)
AT = {
    "mains_inlet": "breaker-main",
    "mains_feed": "breaker-10",
    "inverter_out": "breaker-10",
    "outlet_sockets": "breaker-sockets",
    "outlet_heater": "combined-10",
    "residual_hook_up": "residual-25",
    "residual_inverter": "residual-inverter",
}
OUTLETS = (
    b.Run("outlet_sockets", "locker", "sockets_point", ("sockets_way",), "mains-2.5"),
    b.Run("outlet_heater", "locker", "heater_point", ("heater_way",), "mains-2.5"),
)
CIRCUITS = (
    c.Circuit(name="sockets", source="inverter", point="sockets_point"),
    c.Circuit(name="heater", source="hook_up", point="heater_point"),
)
PLUGGED = (CIRCUITS[0].model_copy(update={"rating_a": 9}), CIRCUITS[1])
FILLED = (
    *(("more.breakers", device) for device in DEVICES),
    ("parts.mains-box-2.modules", 14),
    ("parts.inverter-1500.bond", "fixed"),
    ("brief.circuits", CIRCUITS),
    (
        "ways",
        (
            *handmade.case().ways,
            handmade.way("sockets_way", "locker", "sockets_point", 2000, 25, carries="mains"),
            handmade.way("heater_way", "locker", "heater_point", 1500, 25, carries="mains"),
        ),
    ),
    ("runs", (*handmade.build().runs, *OUTLETS)),
    ("build.breakers", tuple(b.FittedBreaker(place, name) for place, name in AT.items())),
)
PASSING = (  # an inverter-charger in its place
    *FILLED,
    ("parts.inverter-1500.charge_a", 30),
    ("parts.inverter-1500.transfer_a", 16),
    ("parts.inverter-1500.bond", "switched"),
    ("parts.mains-box-2.modules", 16),
    ("runs", (*handmade.build().runs, *OUTLETS, b.Run("inverter_in", "locker", "locker", (), "mains-2.5"))),
    (
        "build.breakers",
        tuple(b.FittedBreaker(place, name) for place, name in (AT | {"inverter_in": "breaker-10"}).items()),
    ),
)
CHANGEOVER = _breaker("changeover", 16, kind="automatic_changeover", modules=4)
CHANGED = (  # the inverter's circuits are changed over to hook-up
    *FILLED,
    ("brief.changeover", "must"),
    ("more.breakers", CHANGEOVER),
    ("parts.mains-box-2.modules", 18),
    (
        "build.breakers",
        tuple(b.FittedBreaker(place, name) for place, name in (AT | {"changeover": "changeover"}).items()),
    ),
)


def _without(*places: str) -> tuple[b.FittedBreaker, ...]:
    """Of the one that is changed over: a combined device at the inverter, and what else there is but these."""
    found = AT | {"changeover": "changeover", "inverter_out": "combined-10", "mains_feed": "combined-10"}
    return tuple(
        b.FittedBreaker(place, name) for place, name in found.items() if place not in ("residual_inverter", *places)
    )


BARE = (*CHANGED, ("build.breakers", _without()))  # what guards it on hook-up is on that side alone
MAIN, SOCKETS, RESIDUAL = (f"parts.{name}" for name in ("breaker-main", "breaker-sockets", "residual-inverter"))
BREAKERS = [
    Edge("breaker.over_load[outlet_sockets]", f"{SOCKETS}.rating_a", 2.609, 2.608, FILLED),  # 600 W at 230 V
    Edge("breaker.over_load[outlet_sockets]", f"{SOCKETS}.rating_a", 9, 8.9, (*FILLED, ("brief.circuits", PLUGGED))),
    Edge("breaker.modules", "parts.mains-box-2.modules", 14, 13, FILLED),
    Edge("breaker.breaking[outlet_sockets]", "inlet.fault_a", 6000, 6001, FILLED),
    Edge("breaker.residual[outlet_sockets]", f"{RESIDUAL}.residual_ma", 30, 31, FILLED),
    Edge("breaker.residual[outlet_sockets]", f"{RESIDUAL}.residual_type", "F", "AC", FILLED),
    Edge("breaker.over_load[residual_inverter]", f"{RESIDUAL}.rating_a", 6.522, 6.521, FILLED),  # 1500 W at 230 V
    Edge("breaker.under_cable[mains_inlet]", f"{MAIN}.rating_a", 10, 10.1, FILLED),  # of the inlet
    Edge("breaker.over_load[mains_inlet]", f"{MAIN}.rating_a", 4.261, 4.260, FILLED),  # 500 W, and 432 W for 30 A
    Edge("breaker.under_cable[outlet_sockets]", f"{SOCKETS}.rating_a", 16.263, 16.264, FILLED),  # 23 A at 50 C
    Edge("mains.bond[inverter]", "parts.inverter-1500.bond", "fixed", None, FILLED),
    Edge("mains.bond[inverter]", "parts.inverter-1500.bond", "switched", "none", PASSING),
    Edge("mains.bond[hook_up]", "parts.inverter-1500.bond", "switched", "fixed", PASSING),
    Edge("breaker.over_load[changeover]", "parts.changeover.rating_a", 10, 9.9, CHANGED),  # of the inlet
    Edge("breaker.residual[outlet_sockets]", "build.breakers", _without(), _without("residual_hook_up"), BARE),
    Edge("mains.changeover", "brief.changeover", "may", "must", FILLED),
    # by the changeover 10 A in 1.3 m of the inlet, then 2.6087 A in 225.8 m
    Edge("run.drop[outlet_sockets]", "ways.sockets_way.length_mm", 225_500, 225_501, CHANGED),
    # 7.98 ohm/km at 70 C, out and back 19.096 mohm/m: 10 A in 1.3 m and 2.1739 A in 271 m of 11.5 V, by 100 mm
    Edge("run.drop[outlet_heater]", "ways.heater_way.length_mm", 270_700, 270_701, FILLED),
    # on hook-up 10 A in 1.3 m, and through the inverter in 0.6 m twice; then 2.6087 A in 221.2 m
    Edge("run.drop[outlet_sockets]", "ways.sockets_way.length_mm", 220_900, 220_901, PASSING),
]
