"""The job pack: one page, drawings, schedules and the test sheet, made from an audited build."""

from optimiser.packing.dossier import Dossier, Wanted, make
from optimiser.packing.files import pack_files, write_pack
from optimiser.packing.summary import pack_lines, pack_object
