"""Why a part is in no build at all, where that is no requirement but what the vehicle is: its feeds and its roof."""

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.parts import AlternatorCharger, DcPanel, Entry, MainsBox, MainsCharger, Panel, Part


def unfit(case: Case, catalogue: Catalogue, words: str) -> tuple[str, ...]:
    """A sentence for each part that is meant; none unless there is one for every such part."""
    facts = [_fact(case, part) for part in catalogue.meant(words)]
    return tuple(dict.fromkeys(facts)) if all(facts) else ()


def _fact(case: Case, part: Part) -> str:
    """What keeps it out by itself; empty if none of this does."""
    brief = case.brief
    if isinstance(part, Panel):
        return _of_panel(case, part)
    if isinstance(part, AlternatorCharger) and brief.alternator is None:
        return f"nothing feeds {part.name}: case.toml has no [alternator]"
    if isinstance(part, AlternatorCharger) and brief.alternator and part.input_v != brief.alternator.system_v:
        return f"{part.name} is fed with {part.input_v} V, the alternator is of {brief.alternator.system_v} V"
    if isinstance(part, MainsCharger) and brief.inlet is None:
        return f"nothing feeds {part.name}: case.toml has no [inlet]"
    if isinstance(part, MainsBox) and not (brief.inlet or brief.circuits):
        return f"nothing goes through {part.name}: case.toml has neither [inlet] nor [[circuits]]"
    if isinstance(part, Entry) and part.kind == "pass_through" and not brief.pass_throughs:
        return f"nothing goes through {part.name}: case.toml has no [[pass_throughs]]"
    if isinstance(part, DcPanel) and not brief.dc_circuits:
        return f"nothing lies behind {part.name}: case.toml has no [[dc_circuits]]"
    return ""


def _of_panel(case: Case, panel: Panel) -> str:
    if panel.kind == "portable":
        its = case.brief.portable
        return (
            "" if its and its.panel == panel.name else f"{panel.name} is set out by hand, and is not that of [portable]"
        )
    long, short = max(panel.length_mm, panel.width_mm), min(panel.length_mm, panel.width_mm)
    sides = [sorted((zone.length_mm, zone.width_mm)) for zone in case.zones]
    if any(long <= most and short <= least for least, most in sides):
        return ""
    zones = ", ".join(f"{zone.name} is {zone.length_mm} x {zone.width_mm} mm" for zone in case.zones)
    return f"{panel.name} is {panel.length_mm} x {panel.width_mm} mm, too large for each zone of the roof: {zones}"
