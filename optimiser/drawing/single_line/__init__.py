"""The single-line diagram: sources, chargers, busbars, loads and mains, a row a path."""

from optimiser.drawing.single_line.diagram import single_line
