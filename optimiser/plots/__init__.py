"""Plots of an audited build."""
