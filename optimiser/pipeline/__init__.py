"""Read, solve, audit, write: what the commands are made of. Prints nothing."""

from optimiser.explaining import News
from optimiser.pipeline.answers import EXIT_CODES, Answer, Status, audit_file, design
from optimiser.pipeline.comparing import Choice, Comparison, Extent, Percents, compare, percents
from optimiser.pipeline.explaining import Explanation, explain, glance
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
from optimiser.pipeline.interrupt import Ended, interruptible, never
from optimiser.pipeline.listing import list_parts, read_parts
from optimiser.pipeline.many.rows import Row
from optimiser.pipeline.many.sweeping import ManySwept, Tally, Where, sweep_many
from optimiser.pipeline.part import PartTrial, why_not
from optimiser.pipeline.rule_sets import SideBySide, side_by_side
from optimiser.pipeline.saving import check_folder, check_target, save, save_choices
from optimiser.pipeline.surveying import survey_files
from optimiser.pipeline.sweeping import Sweep, SweepState, Swept, sweep
from optimiser.pipeline.trying import Trial, try_out
