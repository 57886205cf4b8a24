"""Moving in and out: a whole shop as one JSON file and back, rows of a table as drafts of faults.

Nothing here writes a file; what is to be written comes out as bytes by path.
"""

from __future__ import annotations

from kb.moving.dump import VERSION, dump_of, dump_text
from kb.moving.dump_reading import Dump, NamedFile, UnreadableDump, read_dump
from kb.moving.dump_schema import dump_schema
from kb.moving.unpacking import unpacked

__all__ = [
    "VERSION", "Dump", "NamedFile", "UnreadableDump", "dump_of", "dump_schema", "dump_text", "read_dump",
    "unpacked",
]  # fmt: skip
