"""The job pack: one page, drawings, schedules and the test sheet, made from an audited build."""
