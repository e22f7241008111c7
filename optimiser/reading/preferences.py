"""Checks of what the shop wants: parts and kinds of the catalogue, places of the survey."""

from optimiser.case import ANYWHERE, CONTROLS, Board, Brief
from optimiser.catalogue import Catalogue, words_of
from optimiser.reading.survey import Survey
from optimiser.reading.wording import among, nearest

_EXAMPLES = "a part by its name, a file of the catalogue as mains_chargers, or a value in it as panels.kind=rigid"


def check_preferences(survey: Survey, brief: Brief) -> None:
    """Note each part that nothing is, that stands twice, or is wanted and banned at once; and each place of none."""
    if survey.catalogue is not None:
        for key in ("wanted", "banned"):
            _check_list(survey, survey.catalogue, key, getattr(brief.preferences, key))
        _check_against(survey, survey.catalogue, brief)
    _check_places(survey, brief)


def unmeant(catalogue: Catalogue, name: str) -> str:
    """Why a name means no part, and what was expected; empty where it means one."""
    if catalogue.meant(name):
        return ""
    of, is_value, value = name.partition("=")
    key, _, column = of.partition(".")
    parts = catalogue.tables.get(key, {})
    if not is_value or not parts:
        parts_too = () if is_value else (part for table in catalogue.tables.values() for part in table)
        close = nearest(key if is_value else name, (*catalogue.tables, *parts_too))
        return f"no part or kind of part {name!r}; expected {close or _EXAMPLES}"
    columns = type(next(iter(parts.values()))).model_fields
    if column not in columns:
        return f"{name!r}: no column {column!r} in {key}; expected {among(column, columns)}"
    values = {word for part in parts.values() for word in words_of(getattr(part, column))}
    return f"{name!r}: none of the {key} says {value!r} there; expected {among(value, values)}"


def _check_list(survey: Survey, catalogue: Catalogue, key: str, names: tuple[str, ...]) -> None:
    for number, name in enumerate(names):
        fault = unmeant(catalogue, name)
        if name in names[:number]:
            fault = f"{name!r} stands twice; expected each once"
        if fault:
            survey.note_brief(("preferences", key), fault)


def _check_against(survey: Survey, catalogue: Catalogue, brief: Brief) -> None:
    banned = {part.name for name in brief.preferences.banned for part in catalogue.meant(name)}
    for name in brief.preferences.wanted:
        parts = {part.name for part in catalogue.meant(name)}
        if parts and parts <= banned:
            message = f"{name!r} is banned as well; expected it wanted or banned"
            survey.note_brief(("preferences", "wanted"), message)


def _check_places(survey: Survey, brief: Brief) -> None:
    bays = survey.names("bays")
    if bays is None or survey.names("boards") is None:
        return
    known = {*bays, *(board.place for _, board in survey.rows("boards", Board))}
    for slot in CONTROLS:
        place = getattr(brief.preferences, f"{slot}_at")
        if place != ANYWHERE and place not in known:
            message = f"no bay or board {place!r}; expected {ANYWHERE}, or {among(place, known)}"
            survey.note_brief(("preferences", f"{slot}_at"), message)
