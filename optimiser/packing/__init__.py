"""The job pack: one page, drawings, schedules and the test sheet, made from an audited build."""

from optimiser.packing.files import pack_files
from optimiser.packing.making import Wanted, make
from optimiser.packing.telling import pack_json, pack_lines
from optimiser.packing.writing import write_pack

__all__ = ["Wanted", "make", "pack_files", "pack_json", "pack_lines", "write_pack"]
