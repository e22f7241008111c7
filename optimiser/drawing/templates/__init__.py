"""Templates at true size: for each board that something new is fixed to, pages of A4 to glue together, and a DXF."""

from optimiser.drawing.templates.board import Template, board_templates
from optimiser.drawing.templates.files import template_dxf, template_pdf
from optimiser.drawing.templates.pages import HONEST, UNSCALED
