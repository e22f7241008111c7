"""Drawings of an audited build, to scale: as shapes, as SVG and as DXF."""
