"""Schedules of an audited build: what is bought, cut, drilled, labelled and weighed, and the quotation."""
