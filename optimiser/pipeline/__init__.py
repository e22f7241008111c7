"""Read, solve, audit, write: what the commands are made of. Prints nothing."""

from optimiser.pipeline.answers import EXIT_CODES, Answer, Status, audit_file, design
from optimiser.pipeline.inputs import SHIPPED, Inputs, Unusable, doubts, read, read_build
from optimiser.pipeline.saving import check_target, save

__all__ = [
    "EXIT_CODES",
    "SHIPPED",
    "Answer",
    "Inputs",
    "Status",
    "Unusable",
    "audit_file",
    "check_target",
    "design",
    "doubts",
    "read",
    "read_build",
    "save",
]
