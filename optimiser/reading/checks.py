"""Checks of loads, scenarios and brief against each other. Those of places and nodes have files of their own."""

import re
from calendar import monthrange
from collections.abc import Iterable

from optimiser.case import TABLES, Brief, Climate, Load, Scenario, Trailer
from optimiser.connections import CHARGERS, SLOTS
from optimiser.parts import Panel
from optimiser.reading.faces import check_faces
from optimiser.reading.geometry import check_geometry
from optimiser.reading.nodes import check_nodes
from optimiser.reading.places import check_places
from optimiser.reading.preferences import check_preferences
from optimiser.reading.spans import check_spans, same_hour
from optimiser.reading.survey import Survey
from optimiser.reading.wording import among

_TAKEN = re.compile("|".join(("bank", "idle", "inverter", *CHARGERS, "(regulator|array)_[0-9]+")))
"""What readings of other things are called; those of a load begin with its name."""

_DAYS_OF_YEAR = 2025  # not a leap year: 29 February is refused, as it is on no calendar three years in four


def check(survey: Survey) -> None:
    """Note everything that one place of the folder says against another."""
    _check_unique(survey)
    check_places(survey)
    check_geometry(survey)
    check_faces(survey)
    check_nodes(survey)
    _check_loads(survey)
    check_spans(survey)
    _check_scenarios(survey)
    if survey.brief is not None:
        _check_brief(survey, survey.brief)
        _check_windows(survey, survey.brief)
        _check_together(survey, survey.brief)
        _check_circuits(survey, survey.brief)
        _check_dc_circuits(survey, survey.brief)
        check_preferences(survey, survey.brief)
    _check_climate(survey)


def _check_unique(survey: Survey) -> None:
    for key in TABLES:
        if key == "loads":
            continue  # rows of one name are spans of one load
        names = survey.cells(key, "name")
        # Boards are told apart by their bay as well.
        places = survey.cells(key, "bay") if key == "boards" else [(line, "") for line, _ in names or ()]
        if names is not None and places is not None:
            pairs = zip(names, places, strict=True)
            _note_repeats(survey, key, [(line, place, name) for (line, name), (_, place) in pairs])
    if survey.brief is not None:
        for table in ("circuits", "dc_circuits", "pass_throughs", "together"):
            seen: set[str] = set()
            for number, item in enumerate(getattr(survey.brief, table)):
                if item.name in seen:
                    survey.note_brief((table, number, "name"), f"{item.name!r} stands twice; expected each name once")
                seen.add(item.name)


def _note_repeats(survey: Survey, key: str, names: Iterable[tuple[int, str, str]]) -> None:
    first: dict[tuple[str, str], int] = {}
    for line, where, name in names:
        other = first.setdefault((where, name), line)
        if name and other != line:
            survey.note(key, line, "name", f"{name!r} stands in row {other} too; expected each name once")


def _check_loads(survey: Survey) -> None:
    known = survey.names("scenarios")
    for line, load in survey.rows("loads", Load):
        if _TAKEN.fullmatch(load.name):
            message = f"{load.name!r} is what readings of another part are called; expected another name"
            survey.note("loads", line, "name", message)
        if 0 < load.surge_w < load.watt_w:
            message = f"{load.surge_w:g} is below watt_w; expected 0, or at least watt_w"
            survey.note("loads", line, "surge_w", message)
        if same_hour(load.from_h, load.to_h):
            message = f"{load.to_h} is when it begins too; expected another hour: all day is 0 to 24"
            survey.note("loads", line, "to_h", message)
        if load.scenarios != ("all",) and known is not None:
            for name in load.scenarios:
                if name not in known:
                    message = f"no scenario {name!r}; expected all by itself, or {among(name, known)}"
                    survey.note("loads", line, "scenarios", message)
        dc_circuits = [c.name for c in survey.brief.dc_circuits] if survey.brief is not None else []
        if load.supply == "dc" and load.circuit and not dc_circuits:
            message = f"{load.circuit!r} for a dc load; expected nothing: case.toml has no [[dc_circuits]]"
            survey.note("loads", line, "circuit", message)
        if load.supply == "dc" and dc_circuits and load.circuit not in dc_circuits:
            what = f"no 12 V circuit {load.circuit!r}" if load.circuit else "empty cell for a dc load"
            message = f"{what}; expected one of [[dc_circuits]], {among(load.circuit, dc_circuits)}"
            survey.note("loads", line, "circuit", message)
        if load.supply == "mains" and survey.brief is not None:
            circuits = {circuit.name for circuit in survey.brief.circuits}
            if load.circuit not in circuits:
                what = f"no circuit {load.circuit!r}" if load.circuit else "empty cell for a mains load"
                message = f"{what}; expected a circuit of case.toml, {among(load.circuit, circuits)}"
                survey.note("loads", line, "circuit", message)


def _check_scenarios(survey: Survey) -> None:
    for line, scenario in survey.rows("scenarios", Scenario):
        days = monthrange(_DAYS_OF_YEAR, scenario.month)[1]
        if scenario.day > days:
            message = f"{scenario.day} is no day of month {scenario.month}; expected at most {days}"
            survey.note("scenarios", line, "day", message)
        if scenario.temp_min_c > scenario.temp_max_c:
            message = f"{scenario.temp_min_c:g} is above temp_max_c; expected at most {scenario.temp_max_c:g}"
            survey.note("scenarios", line, "temp_min_c", message)
        for window in ("drive", "hook_up", "portable", "generator"):
            ends = {f"{window}_{end}_h": getattr(scenario, f"{window}_{end}_h") for end in ("from", "to")}
            if len({hour is None for hour in ends.values()}) == 2:
                empty, filled = sorted(ends, key=lambda column: ends[column] is not None)
                message = f"empty cell though {filled} is {ends[filled]}; expected both or neither"
                survey.note("scenarios", line, empty, message)
            from_h, to_h = ends.values()
            if from_h is not None and to_h is not None and same_hour(from_h, to_h):
                message = f"{to_h} is when it begins too; expected another hour: all day is 0 to 24"
                survey.note("scenarios", line, f"{window}_to_h", message)


def _check_dc_circuits(survey: Survey, brief: Brief) -> None:
    mains = {circuit.name for circuit in brief.circuits}
    for number, circuit in enumerate(brief.dc_circuits):
        if circuit.name in mains:
            survey.note_brief(
                ("dc_circuits", number, "name"), f"{circuit.name!r} is a mains circuit too; expected another"
            )
        if circuit.point is None and not circuit.wired:
            message = "no point; expected the node where its cable ends, or wired = true"
            survey.note_brief(("dc_circuits", number, "point"), message)


def _check_circuits(survey: Survey, brief: Brief) -> None:
    """Of mains: where one has a point, the build fills the box, and needs to know of all."""
    for number, circuit in enumerate(brief.circuits):
        if brief.fills_mains_box and circuit.point is None and not circuit.wired:
            message = "no point, though others have one; expected the node where its cable ends, or wired = true"
            survey.note_brief(("circuits", number, "point"), message)


def _check_together(survey: Survey, brief: Brief) -> None:
    known, held = survey.names("loads"), dict[str, str]()
    for number, group in enumerate(brief.together):
        if len(set(group.loads)) < 2:
            survey.note_brief(("together", number, "loads"), "fewer than two loads; expected those held apart")
        elif group.at_most >= len(set(group.loads)):
            message = f"{group.at_most} of {len(set(group.loads))} loads; expected fewer than there are"
            survey.note_brief(("together", number, "at_most"), message)
        for name in dict.fromkeys(group.loads):
            if known is not None and name not in known:
                message = f"no load {name!r}; expected {among(name, known)}"
                survey.note_brief(("together", number, "loads"), message)
            if name in held:
                message = f"{name!r} is in group {held[name]!r} too; expected each load in one"
                survey.note_brief(("together", number, "loads"), message)
            held[name] = group.name


def _check_climate(survey: Survey) -> None:
    """Each month once, or no file."""
    seen = dict[int, int]()
    for line, row in survey.rows("climate", Climate):
        if row.month in seen:
            message = f"{row.month} stands in row {seen[row.month]} too; expected each month once"
            survey.note("climate", line, "month", message)
        seen.setdefault(row.month, line)
        if row.temp_min_c > row.temp_max_c:
            message = f"{row.temp_min_c:g} is above temp_max_c; expected at most {row.temp_max_c:g}"
            survey.note("climate", line, "temp_min_c", message)
    missing = [str(month) for month in range(1, 13) if month not in seen]
    if seen and missing:
        survey.note("climate", 0, "month", f"no month {', '.join(missing)}; expected all twelve, or no such file")


def _check_windows(survey: Survey, brief: Brief) -> None:
    """What a scenario does needs the thing that does it, and must be within what the brief says of the place."""
    floor = brief.limits.soc_floor_pct
    for line, scenario in survey.rows("scenarios", Scenario):
        for column, thing, table in (
            ("drive_from_h", brief.alternator, "alternator"),
            ("hook_up_from_h", brief.inlet, "inlet"),
            ("portable_from_h", brief.portable, "portable"),
            ("generator_from_h", brief.generator, "generator"),
        ):
            hour = getattr(scenario, column)
            if hour is not None and thing is None:
                message = f"{hour} though case.toml has no [{table}]; expected nothing, or that table"
                survey.note("scenarios", line, column, message)
        if scenario.start_pct <= floor:
            message = f"{scenario.start_pct:g} is not above limits.soc_floor_pct; expected above {floor:g}"
            survey.note("scenarios", line, "start_pct", message)
        if scenario.temp_min_c < brief.place.record_low_c:
            message = f"{brief.place.record_low_c:g} is above temp_min_c of scenario {scenario.name!r}"
            survey.note_brief(("place", "record_low_c"), f"{message}; expected at most {scenario.temp_min_c:g}")
        if scenario.temp_max_c > brief.place.record_high_c:
            message = f"{brief.place.record_high_c:g} is below temp_max_c of scenario {scenario.name!r}"
            survey.note_brief(("place", "record_high_c"), f"{message}; expected at least {scenario.temp_max_c:g}")


def _check_brief(survey: Survey, brief: Brief) -> None:
    if brief.generator and brief.inlet is None:
        survey.note_brief(("generator",), "there is no [inlet] that it could be plugged into; expected that table")
    for number, volts in enumerate(brief.system_voltages):
        if volts in brief.system_voltages[:number]:
            survey.note_brief(("system_voltages",), f"{volts} stands twice; expected each voltage once")
    scenarios = survey.names("scenarios")
    autonomy = brief.limits.autonomy_scenario
    if autonomy and scenarios is not None and autonomy not in scenarios:
        message = f"no scenario {autonomy!r}; expected {among(autonomy, scenarios)}"
        survey.note_brief(("limits", "autonomy_scenario"), message)
    for choice in CHARGERS:
        table = SLOTS[choice].source
        if getattr(brief, choice) == "must" and getattr(brief, table) is None:
            survey.note_brief((choice,), f"'must' though there is no [{table}]; expected that table, or may or no")
    vehicle = brief.vehicle
    if isinstance(vehicle, Trailer) and vehicle.hitch_min_kg > vehicle.hitch_max_kg:
        message = f"{vehicle.hitch_min_kg:g} is above hitch_max_kg; expected at most {vehicle.hitch_max_kg:g}"
        survey.note_brief(("vehicle", "hitch_min_kg"), message)
    _check_sizes(survey, brief)
    _check_axles(survey, brief)
    outline = brief.outline
    if outline and outline.roof_mm <= outline.floor_mm:
        message = f"{outline.roof_mm} is not above floor_mm; expected above {outline.floor_mm}"
        survey.note_brief(("outline", "roof_mm"), message)
    _check_choices(survey, brief)


def _check_sizes(survey: Survey, brief: Brief) -> None:
    """What is asked for by size wants what it is fed from, or feeds."""
    amps, watts = brief.limits.mains_charge_a, brief.limits.inverter_w
    if amps and brief.inlet is None:
        message = f"{amps:g} though there is no [inlet]; expected that table, or 0"
        survey.note_brief(("limits", "mains_charge_a"), message)
    elif amps and brief.mains_charger == "no":
        message = f"{amps:g} though mains_charger is 'no'; expected may or must there, or 0"
        survey.note_brief(("limits", "mains_charge_a"), message)
    if watts and all(circuit.source != "inverter" for circuit in brief.circuits):
        message = f"{watts:g} though no circuit has the source inverter; expected one that has, or 0"
        survey.note_brief(("limits", "inverter_w"), message)


def _check_axles(survey: Survey, brief: Brief) -> None:
    """What is towed hangs on a coupling ahead of its axle; a van's front axle is ahead of its rear one."""
    vehicle = brief.vehicle
    if isinstance(vehicle, Trailer):
        front, at, behind, rear = "coupling_x_mm", vehicle.coupling_x_mm, "axle_x_mm", vehicle.axle_x_mm
    else:
        front, at, behind, rear = "front_axle_x_mm", vehicle.front_axle_x_mm, "rear_axle_x_mm", vehicle.rear_axle_x_mm
    if at <= rear:
        survey.note_brief(("vehicle", front), f"{at} is not ahead of {behind}; expected above {rear}")


def _check_choices(survey: Survey, brief: Brief) -> None:
    """What the brief names in the catalogue."""
    if survey.catalogue is None:
        return
    rule_sets = survey.catalogue.rule_sets
    if brief.rule_set not in rule_sets:
        message = f"no rule set {brief.rule_set!r} in the catalogue; expected {among(brief.rule_set, rule_sets)}"
        survey.note_brief(("rule_set",), message)
    if brief.portable:
        portable = [p.name for p in survey.catalogue.of("panels").values() if p.kind == "portable"]
        if brief.portable.panel not in portable:
            part = survey.catalogue.find(brief.portable.panel)
            kind = part.kind if isinstance(part, Panel) else None
            what = f"{brief.portable.panel!r} is a {kind} panel" if kind else f"no panel {brief.portable.panel!r}"
            message = f"{what}; expected a portable one, {among(brief.portable.panel, portable)}"
            survey.note_brief(("portable", "panel"), message)
