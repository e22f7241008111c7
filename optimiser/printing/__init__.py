"""What the commands print: sheets for the fitter, JSON for programs, one line while it works."""

from optimiser.printing.as_json import (
    answer_object,
    as_text,
    audit_object,
    comparison_object,
    new_object,
    overview_object,
)
from optimiser.printing.checking import overview_lines
from optimiser.printing.commissioning_json import expectation_object, readings_object
from optimiser.printing.comparing import choice_line, comparison_sheet
from optimiser.printing.explaining import explanation_sheet
from optimiser.printing.explaining_json import explanation_object, sweep_object, trial_object
from optimiser.printing.findings import audit_sheet
from optimiser.printing.many import many_object, many_sheet
from optimiser.printing.news import news_line
from optimiser.printing.output import WIDTH, as_html, note, rendered, show, width, write
from optimiser.printing.part import part_object, part_sheet
from optimiser.printing.progress import progress_line, progress_of, tally_line
from optimiser.printing.rule_sets import rule_sets_object, rule_sets_sheet
from optimiser.printing.sheet import answer_sheet, fault_lines
from optimiser.printing.trying import sweep_sheet, swept_line, trial_sheet
from optimiser.printing.year import year_object, year_sheet
