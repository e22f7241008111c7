"""Commissioning: what meters should show, the test sheet, and readings checked against the design."""

from optimiser.commissioning.check import Check
from optimiser.commissioning.expecting import Expectation, Moment, expected
from optimiser.commissioning.expecting_sun import Expected
from optimiser.commissioning.filling import printed_row, to_csv
from optimiser.commissioning.judged import VERDICTS, Cause, JudgedReading, Report, Verdict, reasons
from optimiser.commissioning.log import EXPECTED as EXPECTED_TIME
from optimiser.commissioning.log import clock_time
from optimiser.commissioning.readings import commissioned
from optimiser.commissioning.sheet import test_sheet
from optimiser.commissioning.spread import CLEAR, OVERCAST, Sky, Spread, sky_of
