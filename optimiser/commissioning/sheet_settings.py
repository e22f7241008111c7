"""What is set in each unit: by the makers' sheets, with what the build knows beside it."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.commissioning.check import Check
from optimiser.commissioning.sheet_charging import GROUP as CHARGING
from optimiser.commissioning.sheet_charging import NO_MONITOR
from optimiser.commissioning.spread import COMMON
from optimiser.fitted.fit import Fit

GROUP = "Settings"
_WRITE = "charge voltage, float, low-voltage cut-off, low-temperature lock: write what was set"
_READ = "simulated, or read from the settings"


def settings_checks(fit: Fit) -> Iterator[Check]:
    """Every unit that is set, then what protects the bank: before anything charges it."""
    for slot, known in _units(fit):
        how = f"{_WRITE}; {known}; {_bank(fit)}"
        yield _done(f"settings.{slot}", f"{slot} set by the module maker's sheet, and written down", how,
                    "sheets of unit and module", written=True)  # fmt: skip
    if fit.inverter:
        yield _done("settings.low_voltage",
                    f"inverter stops at {fit.inverter.cut_off_v:g} V, or above it by the module maker's sheet", _READ,
                    "inverter's sheet")  # fmt: skip
    yield _done("settings.low_temperature", f"charging stops below {fit.module.charge_min_c:g} C", _READ,
                "module's sheet")  # fmt: skip


def full_checks(fit: Fit) -> Iterator[Check]:
    """The bank brought to full by its chargers, once they work."""
    yield Check(
        group=CHARGING, id="settings.bank", rule="done",
        what="bank brought to full before anything is judged by its charge",
        how="loads off, until what its chargers give, by their own readings, falls below 2 to 4 % of its "
        f"{_ah(fit):g} Ah; or by the modules' own displays, if they have any; a monitor of the bank, if one is fitted "
        f"({NO_MONITOR}), set to 100 % then",
        basis="module's sheet", source=COMMON,
    )  # fmt: skip


def _done(id: str, what: str, how: str, basis: str, *, written: bool = False) -> Check:
    return Check(group=GROUP, id=id, what=what, how=how, rule="done", basis=basis, source=COMMON, written=written)


def _ah(fit: Fit) -> float:
    return fit.module.capacity_ah * fit.build.bank.parallel


def _bank(fit: Fit) -> str:
    charge_a = fit.module.charge_a * fit.build.bank.parallel
    return (
        f"bank {_ah(fit):g} Ah, {fit.system_v} V, takes {charge_a:g} A at most from all together; "
        f"bays up to {fit.case.limits.bay_air_max_c:g} C"
    )


def _units(fit: Fit) -> Iterator[tuple[str, str]]:
    """Slot and what the build knows of it, of each unit with settings."""
    for slot, regulator in fit.regulators.items():
        yield slot, f"it gives {regulator.out_a:g} A"
    if fit.alternator_charger:
        sun = ""
        if fit.solar_on_alternator:
            sun = f" and {fit.alternator_charger.solar_out_a:g} A from the sun, {fit.alternator_a:g} A at most of both"
        yield "alternator_charger", f"it gives {fit.alternator_charger.charge_a:g} A from the engine{sun}"
    inlet = fit.case.brief.inlet
    limit = f", inlet {inlet.rating_a:g} A of mains" if inlet else ""
    if fit.mains_charger:
        yield "mains_charger", f"it gives {fit.mains_charger.charge_a:g} A{limit}"
    if fit.inverter:
        charges = f", charges with {fit.inverter.charge_a:g} A{limit}" if fit.inverter.transfers else ""
        yield "inverter", f"it cuts off at {fit.inverter.cut_off_v:g} V{charges}"
