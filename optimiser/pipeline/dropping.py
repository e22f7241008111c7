"""Requirements dropped for a trial: which one is meant, and whether a breach is of one of them."""

from __future__ import annotations

import re
from collections.abc import Iterable

from optimiser.auditing import Finding
from optimiser.model.assemble import assemble
from optimiser.pipeline.inputs import Inputs
from optimiser.reading.wording import among, nearest
from optimiser.requirements import REGISTER, named

_NAME = re.compile(r"([^\[\]]+)(?:\[([^\[\]]+)\])?")
_WHOLE = frozenset({"measure.channels"})  # its places are currents, which another build has others of
_GOES_WITH = {  # what cannot hold for long without which others
    "run.complete[switch]": ("measure.switch",),  # the audit wants the run to a switch wherever there is an inverter
    "energy.autonomy": ("inverter.present",),  # and counts what the sockets draw, whether anything feeds them or not
    "energy.floor": ("inverter.present",),
    "energy.returns": ("inverter.present",),
    "battery.discharge": ("inverter.present",),
    "battery.surge": ("inverter.present",),
}


def _family(name: str) -> str:
    return name.partition(".")[0]


_FAMILIES = tuple(dict.fromkeys(map(_family, REGISTER)))


def covers(drop: str, finding: Finding) -> bool:
    """Whether a dropped requirement is the one of a finding, or takes it along."""
    name, place = finding.name, finding.place
    others = (*_GOES_WITH.get(name, ()), *_GOES_WITH.get(finding.requirement, ()))
    return any(drop in (one, named(one, place)) for one in (name, *others))


def dropped(inputs: Inputs, drops: Iterable[str]) -> tuple[tuple[str, ...], list[str]]:
    """The requirements by the names that the model posts, and a line for each that cannot be dropped."""
    found, problems, places = dict[str, None](), list[str](), dict[str, list[str]]()
    for text in drops:
        match = _NAME.fullmatch(text.strip())
        name, place = (match[1], match[2] or "") if match else (text.strip(), "")
        if name in _FAMILIES and not place:
            found |= dict.fromkeys(r.name for r in REGISTER.values() if _family(r.name) == name and not r.is_definition)
        elif name not in REGISTER:
            problems.append(f"{text}: no such requirement; expected {nearest(name, REGISTER) or _families()}")
        elif REGISTER[name].is_definition:
            why = "says what a build is and cannot be given up"
            problems.append(f"{text}: {name} {why}; expected a requirement that a build could break")
        elif not place:
            found[name] = None
        else:
            places = places or _posted(inputs)
            known = [] if name in _WHOLE else places.get(name, [])
            if place in known:
                found[named(name, place)] = None
            else:
                wanted = f"{name} alone" + (f", or at {among(place, known)}" if known else "")
                problems.append(f"{text}: rules nothing out at {place!r} by itself; expected {wanted}")
    return tuple(found), problems


def _posted(inputs: Inputs) -> dict[str, list[str]]:
    """Requirement -> the places at which it rules something out."""
    model = assemble(inputs.case, inputs.catalogue)
    found: dict[str, list[str]] = {}
    for name, _, place in (full.partition("[") for full in model.posted):
        if place:
            found.setdefault(name, []).append(place.removesuffix("]"))
    return {name: sorted(places) for name, places in found.items()}


def _families() -> str:
    return f"a name of the register, as mass.payload, or a family of them: {', '.join(_FAMILIES)}"
