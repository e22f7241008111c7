"""Which requirements of makers and rules have a figure from outside that the audit of a whole build is held to.

Limits that brief and survey set need none: they are what the customer and the tape say. What has none of the others
is listed here with the reason, and reports may say so.
"""

import re
from pathlib import Path

import pytest

from optimiser.requirements import REGISTER
from optimiser.requirements.requirement import SHOP

_SET_BY_THE_CASE = ("brief", "survey", "definition", SHOP)
_HERE = Path(__file__)

_MAKERS = "each maker's own figure: a comparison of two numbers of the catalogue and the build"
_PRACTICE = "common practice, no source"
NONE = {
    **dict.fromkeys(("roof.panel_gap", "roof.set_back", "roof.front_set_back", "roof.obstacle"), _PRACTICE),
    **dict.fromkeys(("roof.crown", "roof.types", "bay.reach", "bay.sight", "bay.clearance"), _PRACTICE),
    "roof.shadow": "a triangle: no published set-back was found that is not computed from the same",
    "roof.bend": _MAKERS,
    "string.parallel": "sources differ: from three strings by practice, each panel by a weak second-hand account",
    **dict.fromkeys(("breaker.over_load", "breaker.breaking", "breaker.modules"), _MAKERS),
    "mains.bond": "exactly one in each state, as the trade has it and was seen done; no clause was read",
    **dict.fromkeys(("panel.way_rating", "panel.rating"), _MAKERS),
    **dict.fromkeys(("string.fuse_under_panel", "string.fuse_voltage"), _MAKERS),
    "string.start_voltage": "makers' sheets, from memory",
    "string.hot_voltage": "makers' sheets, from memory",
    **dict.fromkeys(("string.over_panelling", "battery.parallel", "battery.series"), _MAKERS),
    **dict.fromkeys(("battery.discharge", "battery.surge", "battery.charge"), _MAKERS + "; sharing by practice"),
    "battery.place": "the clause on lithium in living spaces is from memory and not confirmed",
    "battery.module_over_load": _PRACTICE,
    "battery.module_under_main": _PRACTICE,
    **dict.fromkeys(("inverter.power", "inverter.surge", "inverter.sag", "charge.step_down"), _MAKERS),
    "charge.alternator": _PRACTICE,
    "bay.orientation": _MAKERS,
    "bay.vent_place": _PRACTICE,
    "bay.electronics": "no published clause was read",
    "run.fuse_over_load": _PRACTICE,
    "run.terminal": _MAKERS,
    **dict.fromkeys(("protect.studs", "protect.mains_box", "protect.inlet_breaker", "entry.cables"), _MAKERS),
}
"""Requirement -> why no outside figure holds it."""


def _named_outside() -> set[str]:
    texts = [p.read_text(encoding="utf-8") for p in _HERE.parent.glob("test_outside_*.py") if p != _HERE]
    return {name for name in REGISTER for text in texts if re.search(rf"\b{re.escape(name)}(?![a-z_])", text)}


@pytest.mark.parametrize("name", [n for n, r in REGISTER.items() if r.source not in _SET_BY_THE_CASE])
def test_each_has_an_outside_figure_or_a_reason_for_none(name: str) -> None:
    assert (name in _named_outside()) != (name in NONE)


def test_reasons_are_of_requirements_there_are() -> None:
    assert set(NONE) <= set(REGISTER)
