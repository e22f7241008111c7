"""For each requirement, the values that a fitter could move to ease it.

The register says of most which value that is, and how far and which way it moves. Here is what it cannot say: where
what eases a requirement depends on the case, on its place or on the parts there are.
"""

import re
from collections.abc import Iterator

from optimiser.case import ANYWHERE, CONTROLS, Case
from optimiser.catalogue import Catalogue
from optimiser.connections import CHARGERS, SLOTS
from optimiser.moves import lever_bays as bays
from optimiser.moves.lever_makers import (
    Ask,
    Maker,
    Where,
    eased,
    everywhere,
    files,
    placed,
    rule,
    starts,
    step_of,
    watts,
)
from optimiser.moves.move import Lever, MoveProblem
from optimiser.moves.slots import connection_at, files_at_ends
from optimiser.moves.values import NOTHING
from optimiser.parts import AlternatorCharger
from optimiser.reading.wording import among, nearest
from optimiser.requirements import REGISTER, Eases

_REQUIREMENT = re.compile(r"([a-z._]+)(?:\[(.+)\])?")
_VOLTAGES = (12, 24, 48)


def levers(case: Case, catalogue: Catalogue, requirement: str) -> tuple[Lever, ...]:
    """The values that ease a requirement, which may carry a place; none where nothing of case or catalogue does.

    Those that fitter or customer can act on come first.

    Raises
    ------
    MoveProblem
        If there is no such requirement, or no such place.
    """
    match = _REQUIREMENT.fullmatch(requirement)
    name, place = (match[1], match[2] or "") if match else (requirement, "")
    if name not in REGISTER:
        wanted = nearest(name, REGISTER) or f"one of {', '.join(REGISTER)}"
        raise MoveProblem(f"{requirement}: no such requirement; expected {wanted}")
    ask = Ask(case, catalogue, name, place)
    try:
        found = [lever for value in REGISTER[name].eases for lever in eased(ask, value, _ONLY.get(name, everywhere))]
        found += [lever for maker in _MORE.get(name, ()) for lever in maker(ask)]
    except MoveProblem as problem:
        known = str(problem).removeprefix(f"{requirement}: ")
        raise MoveProblem(f"{requirement}: {known}") from None
    return tuple(sorted(dict.fromkeys(found), key=lambda lever: not lever.act))


def _more_voltages(ask: Ask) -> Iterator[Lever]:
    allowed = ask.case.brief.system_voltages
    for volt in _VOLTAGES:
        if volt not in allowed:
            to = " ".join(str(v) for v in sorted({*allowed, volt}))
            yield Lever("case.system_voltages", None, "", f"a system of {volt} V allowed as well", act=True, to=to)


def _breaking(ask: Ask) -> Iterator[Lever]:
    """Of fuses at the voltage of what drives the fault: bank, alternator or 12 V panel."""
    alternator, found = ask.case.brief.alternator, set(ask.case.brief.system_voltages)
    if ask.place.startswith("pass_"):
        found = {12}
    elif alternator and ask.place == "alternator_feed":
        found = {alternator.system_v}
    elif alternator and not ask.place:
        found |= {alternator.system_v}
    for volt in sorted(found):
        words = f"breaking capacity of {{}} at {volt} V"
        yield from files("fuses", column=f"breaking_{volt}v_a", sign=+1, words=words)(ask)


def _left_open(ask: Ask) -> Iterator[Lever]:
    """A charger that must or must not be there left open."""
    if ask.place and ask.place not in CHARGERS:
        raise MoveProblem(f"no charger {ask.place!r}; expected {among(ask.place, CHARGERS)}")
    for charger in CHARGERS:
        choice, what = getattr(ask.case.brief, charger), SLOTS[charger].words
        if ask.place in ("", charger) and choice != "may":
            what = f"{'an' if what[0] in 'aeiou' else 'a'} {what}"
            words = f"{what} {'no longer required' if choice == 'must' else 'allowed'}"
            yield Lever(f"case.{charger}", None, "", words, act=True, to="may")


def _no_changeover(ask: Ask) -> Iterator[Lever]:
    """Hook-up that need not feed the inverter's circuits."""
    if ask.case.brief.changeover == "must":
        yield Lever("case.changeover", None, "", "a changeover no longer required", act=True, to="may")


def _no_monitor(ask: Ask) -> Iterator[Lever]:
    """One channel less."""
    if ask.case.brief.monitor == "must":
        yield Lever("case.monitor", None, "", "the bank's own current not measured", act=True, to="no")


def _fewer_together(ask: Ask) -> Iterator[Lever]:
    """One load less at a time, of groups of which several may run."""
    for group in ask.case.brief.together:
        if group.at_most > 1:
            yield Lever(f"together.{group.name}.at_most", -1, "", f"loads of {group.name} at a time", act=True)


def _fed_on_hook_up(ask: Ask) -> Iterator[Lever]:
    """Circuits that need no inverter any more; all of them, or one is still there."""
    for circuit in ask.case.circuits_from("inverter"):
        words = f"circuit {circuit} fed on hook-up only"
        yield Lever(f"circuit.{circuit}.source", None, "", words, act=True, to="hook_up")


def _other_feeds(ask: Ask) -> Iterator[Lever]:
    """An alternator that some charger takes, where none takes the one there is."""
    made_for = {c.input_v for c in ask.catalogue.of("alternator_chargers").values() if isinstance(c, AlternatorCharger)}
    alternator = ask.case.brief.alternator
    if alternator and alternator.system_v not in made_for:
        for volt in sorted(made_for):
            yield Lever("alternator.system_v", None, "", f"an alternator of {volt} V", act=True, to=str(volt))


def _axles(ask: Ask) -> Iterator[Lever]:
    columns = {"axle": "axle_max_kg", "front axle": "front_max_kg", "rear axle": "rear_max_kg"}
    if ask.place and ask.place not in columns:
        raise MoveProblem(f"no axle {ask.place!r}; expected {among(ask.place, columns)}")
    for axle, column in columns.items():
        if ask.place in ("", axle):
            yield from eased(ask, Eases(f"vehicle.{column}", step_of(ask.name), f"load allowed on the {axle}"))


def _any_cable(ask: Ask) -> Iterator[Lever]:
    for name, way in placed(ask, "way").items():
        if way.carries != "any":
            yield Lever(f"way.{name}.carries", None, "", f"any cable allowed on way {name}", act=True, to="any")


def _sealing(ask: Ask) -> Iterator[Lever]:
    """The roof's class is no value of a case; that of a pass-through is the brief's."""
    for outside in ask.case.brief.pass_throughs:
        if ask.place in ("", outside.name):
            words = f"IP class required of pass-through {outside.name}"
            yield Lever(f"pass_through.{outside.name}.ip_class", -step_of(ask.name), "", words, act=True)


def _outside_walls(ask: Ask) -> Iterator[Lever]:
    for board in ask.case.boards:
        if not board.outside_wall:
            words = f"board {board.place} on an outside wall"
            yield Lever(f"board.{board.place}.outside_wall", None, "", words, act=True, to="yes")


# --- preferences of the shop: a name less, or a word ----------------------------------------------------


def _fewer(column: str, what: str) -> Maker:
    """The list without the part or kind of the place; each in turn where no place is named."""

    def without(ask: Ask) -> Iterator[Lever]:
        listed: tuple[str, ...] = getattr(ask.case.preferences, column)
        if ask.place and ask.place not in listed:
            raise MoveProblem(f"no {column} {ask.place!r}; expected {among(ask.place, listed)}")
        for name in listed:
            if ask.place in ("", name):
                to = " ".join(other for other in listed if other != name) or NOTHING
                yield Lever(f"preferences.{column}", None, "", f"{name} no longer {what}", act=True, to=to)

    return without


def _unlike_twins(ask: Ask) -> Iterator[Lever]:
    if ask.case.preferences.twins_alike:
        yield Lever("preferences.twins_alike", None, "", "regulators of several types allowed", act=True, to="no")


def _anywhere(ask: Ask) -> Iterator[Lever]:
    places = ask.case.preferences.places
    if ask.place and ask.place not in CONTROLS:
        raise MoveProblem(f"no control {ask.place!r}; expected {among(ask.place, CONTROLS)}")
    for slot in places:
        if ask.place in ("", slot):
            words = f"{SLOTS[slot].words} anywhere"
            yield Lever(f"preferences.{slot}_at", None, "", words, act=True, to=ANYWHERE)


# --- runs: which figure of the rule set, and whose terminals, a run is held to -------------------------


_DROPS = {
    "drop_share_inverter": "the battery path and the inverter's run",
    "drop_share_solar": "solar runs",
    "drop_share_feed": "the alternator's feed",
    "drop_share_mains": "mains runs",
    "drop_share": "other runs",
}


def sections(ask: Ask) -> Iterator[Lever]:
    """The least section of low voltage or of mains runs."""
    kind = connection_at(ask.place).kind if ask.place else ""
    if kind == "data":
        return
    if kind != "mains":
        yield from rule("dc_section_min_mm2", -1, "least section of low voltage runs")(ask)
    if kind in ("", "mains"):
        yield from rule("main_section_min_mm2", -1, "least section of mains runs")(ask)


def drops(ask: Ask) -> Iterator[Lever]:
    """The drop allowed of such a run, or of each kind of run."""
    connection = connection_at(ask.place) if ask.place else None
    if connection and connection.kind == "data":
        return
    for figure, what in _DROPS.items():
        if connection is None or figure == connection.drop:
            yield from rule(figure, +1, f"share of their voltage that {what} may lose")(ask)


def terminals(ask: Ask) -> Iterator[Lever]:
    """The terminals of what the run goes to."""
    keys = files_at_ends(ask.catalogue, ask.place)
    yield from files(*keys, column="terminal_mm2", sign=+1, words="terminals of {}")(ask)
    if ask.case.brief.dc_circuits:
        for column, family in (("feed_mm2", "dc_loads"), ("terminal_mm2", "circuit_"), ("terminal_mm2", "pass_")):
            if ask.place.startswith(family):
                yield from files("dc_panels", column=column, sign=+1, words="terminals of {}")(ask)


# --- all of them -------------------------------------------------------------------------------------


_MORE: dict[str, tuple[Maker, ...]] = {
    "string.system_voltage": (_other_feeds,),
    "battery.voltage": (_more_voltages,),
    "battery.discharge": (watts("inverter"),),
    "battery.surge": (starts("inverter"),),
    "battery.cold": (bays.warmer_bays,),
    "battery.place": (bays.bank_allowed,),
    "battery.module_breaking": (_breaking,),
    "battery.lead_acid": (bays.sealed_off,),
    "inverter.present": (_fed_on_hook_up,),
    "inverter.power": (watts("inverter"), _fewer_together),
    "inverter.surge": (starts("inverter"), _fewer_together),
    "inverter.sag": (starts("inverter"),),
    "charge.asked_for": (_left_open,),
    "charge.inlet": (watts("hook_up"), _fewer_together),
    "mains.changeover": (_no_changeover,),
    "measure.channels": (_no_monitor,),
    "measure.display": (_no_monitor,),
    "charge.generator": (watts("hook_up"),),
    "bay.board": (bays.longer_boards,),
    "bay.depth": (bays.deeper_boards,),
    "bay.opening": (bays.wider_openings,),
    "bay.clearance": (bays.longer_boards, bays.less_clearance),
    "bay.hydrogen": (bays.more_vents, bays.sealed_off),
    "bay.electronics": (bays.electronics_allowed,),
    "bay.reach": (bays.reached,),
    "bay.sight": (bays.seen,),
    "run.section": (sections,),
    "run.drop": (drops,),
    "run.terminal": (terminals,),
    "run.fuse_breaking": (_breaking,),
    "way.carries": (_any_cable,),
    "entry.sealing": (_sealing,),
    "entry.outside_wall": (_outside_walls,),
    "energy.floor": (bays.warmer_banks,),
    "energy.autonomy": (bays.warmer_banks,),
    "mass.axle": (_axles,),
    "preference.wanted": (_fewer("wanted", "wanted"),),
    "preference.banned": (_fewer("banned", "banned"),),
    "preference.twins": (_unlike_twins,),
    "preference.place": (_anywhere,),
}
"""Requirement -> what makes those of its levers that the register cannot say: which rows count, or another value."""

_ONLY: dict[str, Where] = {
    "roof.lid": lambda obstacle: bool(obstacle.lid_side != "none"),
    "energy.returns": lambda scenario: bool(scenario.returns),
}
"""Requirement -> which rows the register's own value counts in, where not in all."""
