"""How units convert, as an earlier run worked it out: that takes longer than the reading of a record."""

from __future__ import annotations

import json

from kb.quantities.conversion import take, worked_out
from kb.store import Store, code_key

UNITS = "units"


def take_units(store: Store) -> bool:
    """Use what was kept, if it was."""
    body = store.load(UNITS, code_key())
    if body is not None:
        take(json.loads(body))
    return body is not None


def keep_units(store: Store) -> bool:
    """Keep what this run had to work out, if it had to."""
    lines = worked_out()
    if lines:
        store.keep(UNITS, code_key(), [json.dumps(lines, separators=(",", ":")).encode()])
    return bool(lines)
