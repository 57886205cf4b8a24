"""The site's search: an index cut into small scripts at build time, and the same questions in Python."""

from __future__ import annotations

from kb.search.asking import SearchIndex, query, read_index
from kb.search.building import search_assets

__all__ = ["SearchIndex", "query", "read_index", "search_assets"]
