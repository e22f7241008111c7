"""Commissioning: what meters should show, the test sheet, and readings held against the design."""
