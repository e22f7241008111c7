"""Read, solve, audit, write: what the commands are made of. Prints nothing."""

from optimiser.pipeline.answers import EXIT_CODES, Answer, Status, audit_file, design
from optimiser.pipeline.comparing import STATE_CODES, Choice, Comparison, Step, compare
from optimiser.pipeline.explaining import VERDICT_CODES, Explanation, explain
from optimiser.pipeline.inputs import (
    SHIPPED,
    Inputs,
    Unusable,
    called,
    case_folder,
    claimed_as,
    doubts,
    read,
    read_build,
    shipped_names,
)
from optimiser.pipeline.listing import Listed, list_parts, read_parts
from optimiser.pipeline.saving import check_folder, check_target, save, save_choices
from optimiser.pipeline.surveying import survey_files
from optimiser.pipeline.sweeping import Sweep, SweepState, Swept, sweep
from optimiser.pipeline.trying import Trial, try_out

__all__ = [
    "EXIT_CODES",
    "SHIPPED",
    "STATE_CODES",
    "VERDICT_CODES",
    "Answer",
    "Choice",
    "Comparison",
    "Explanation",
    "Inputs",
    "Listed",
    "Status",
    "Step",
    "Sweep",
    "SweepState",
    "Swept",
    "Trial",
    "Unusable",
    "audit_file",
    "called",
    "case_folder",
    "check_folder",
    "check_target",
    "claimed_as",
    "compare",
    "design",
    "doubts",
    "explain",
    "list_parts",
    "read",
    "read_build",
    "read_parts",
    "save",
    "save_choices",
    "shipped_names",
    "survey_files",
    "sweep",
    "try_out",
]
