"""The search: indexes of small files made at build time, and the browser's questions asked in Python.

Nothing that is imported from here reads a record: the terminal's search starts at once.
"""

from __future__ import annotations

from kb.search.asking import SearchIndex, files_of, query, read_index
from kb.search.narrowing import Narrowing
from kb.search.symptoms import SymptomIndex
from kb.search.texts import SearchText

__all__ = ["Narrowing", "SearchIndex", "SearchText", "SymptomIndex", "files_of", "query", "read_index"]
