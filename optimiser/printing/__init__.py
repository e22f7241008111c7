"""What the commands print: sheets for the fitter, JSON for programs, one line while it works."""

from optimiser.printing.as_json import (
    answer_json,
    audit_json,
    comparison_json,
    explanation_json,
    new_json,
    overview_json,
)
from optimiser.printing.comparing import choice_line, comparison_sheet
from optimiser.printing.explaining import explanation_sheet
from optimiser.printing.findings import audit_sheet
from optimiser.printing.output import note, show, write
from optimiser.printing.progress import ProgressLine, progress_line
from optimiser.printing.sheet import answer_sheet, fault_lines
from optimiser.printing.trying import sweep_sheet, swept_line, trial_sheet
from optimiser.printing.trying_json import sweep_json, trial_json

__all__ = [
    "ProgressLine",
    "answer_json",
    "answer_sheet",
    "audit_json",
    "audit_sheet",
    "choice_line",
    "comparison_json",
    "comparison_sheet",
    "explanation_json",
    "explanation_sheet",
    "fault_lines",
    "new_json",
    "note",
    "overview_json",
    "progress_line",
    "show",
    "sweep_json",
    "sweep_sheet",
    "swept_line",
    "trial_json",
    "trial_sheet",
    "write",
]
