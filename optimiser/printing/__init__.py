"""What the commands print: sheets for the fitter, JSON for programs, one line while it works."""

from optimiser.printing.as_json import answer_json, audit_json
from optimiser.printing.findings import audit_sheet
from optimiser.printing.output import note, show, write
from optimiser.printing.progress import progress_line
from optimiser.printing.sheet import answer_sheet, fault_lines

__all__ = [
    "answer_json",
    "answer_sheet",
    "audit_json",
    "audit_sheet",
    "fault_lines",
    "note",
    "progress_line",
    "show",
    "write",
]
