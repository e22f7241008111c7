"""The single-line diagram: sources, chargers, busbars, loads, bank and minus conductors, and the mains."""

from optimiser.drawing.single_line.diagram import single_line
