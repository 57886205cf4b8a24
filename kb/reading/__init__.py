"""From files to records: strict YAML in, located records and problems out."""

from __future__ import annotations

from kb.reading.folder import Folder, read_folder, read_guides, read_own_calculators
from kb.reading.located import Located
from kb.reading.record import read_record
from kb.reading.tree import Place

__all__ = [
    "Folder", "Located", "Place", "read_folder", "read_guides", "read_own_calculators", "read_record",
]  # fmt: skip
