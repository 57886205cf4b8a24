"""The store under the name it had before it moved down to `kb.store`; import it from there."""

from __future__ import annotations

from kb.store import PLACE, Store, _secret, code_key, stamps_under

__all__ = ["PLACE", "Store", "_secret", "code_key", "stamps_under"]
