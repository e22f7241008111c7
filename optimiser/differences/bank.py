"""System voltage and bank."""

from collections.abc import Iterator

from optimiser.builds import Bank, Build
from optimiser.catalogue import Catalogue
from optimiser.differences.change import Change, Order, number
from optimiser.parts import Module


def changes(catalogue: Catalogue, before: Build, after: Build) -> Iterator[Change]:
    """What another bank is made of, how it is wired, how it stands."""
    if before.system_v != after.system_v:
        yield Change("system", f"{after.system_v} V system for {before.system_v} V", Order.SYSTEM)
    old, new = before.bank, after.bank
    was, now = _count(old), _count(new)
    if old.module != new.module:
        modules = catalogue.of("modules")
        yield Change("bank", _other_modules(modules, old, new), Order.BANK)
    elif was != now:
        noun = f"{new.module}" if now == 1 else f"{new.module} modules"
        yield Change("bank", f"{number(now)} {noun} for {number(was)}", Order.BANK)
    if old.fuse != new.fuse:
        yield Change("bank", f"{_fused(new)} for {_fused(old)}", Order.BANK)
    if was != now:
        return  # another number is wired and stands otherwise as a matter of course
    if (old.series, old.parallel) != (new.series, new.parallel):
        yield Change("bank", f"bank {_wired(new)} for {_wired(old)}", Order.BANK)
    if (old.rows, old.columns) != (new.rows, new.columns):
        text = f"bank in {rows(new)} for {rows(old)}"
        yield Change("place", text, Order.SHIFT)


def rows(bank: Bank) -> str:
    """How the modules stand."""
    return f"{bank.rows} row{'s' * (bank.rows != 1)} of {bank.columns}"


def _fused(bank: Bank) -> str:
    return f"{bank.fuse} on each string of modules" if bank.fuse else "no fuses on the modules"


def _count(bank: Bank) -> int:
    return bank.series * bank.parallel


def _wired(bank: Bank) -> str:
    return f"{bank.series} in series, {bank.parallel} in parallel"


def _other_modules(modules: dict[str, Module], old: Bank, new: Bank) -> str:
    was, now = number(_count(old)), number(_count(new))
    if not _told_by_capacity(modules, modules[old.module], modules[new.module]):
        return f"{now} {new.module} for {was} {old.module}"
    new_ah, old_ah = (f"{modules[bank.module].capacity_ah:g} Ah" for bank in (new, old))
    return f"{now} {new_ah} module{'s' * (_count(new) != 1)} for {was} of {old_ah}"


def _told_by_capacity(modules: dict[str, Module], one: Module, other: Module) -> bool:
    """Whether Ah say which two modules are meant: of one voltage, and nobody else's there."""
    volts = one.nominal_v
    if other.nominal_v != volts:
        return False
    alike = [m.capacity_ah for m in modules.values() if m.nominal_v == volts]
    return alike.count(one.capacity_ah) == alike.count(other.capacity_ah) == 1
