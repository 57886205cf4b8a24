"""The unit that somebody most likely meant by a spelling that does not exist."""

from __future__ import annotations

import difflib

from kb.quantities.spellings import MISSPELLINGS, UNITS


def nearest_units(unit: str, dimension: str | None) -> list[str]:
    """Return up to two likely spellings: by a known slip, by letter case, or by likeness."""
    fitting = [spelling for spelling, known in UNITS.items() if dimension in {None, known.dimension}]
    slip = MISSPELLINGS.get(unit.lower())
    if slip in fitting or (slip == "R" and dimension in {None, "resistance"}):
        return [slip]
    return _other_case(unit, fitting) or difflib.get_close_matches(unit, fitting, n=1, cutoff=0.6)


def _other_case(unit: str, spellings: list[str]) -> list[str]:
    """Return the spellings that differ in case only; a capital prefix was meant, a small one perhaps not."""
    same = [spelling for spelling in spellings if spelling.lower() == unit.lower()]
    capital = [spelling for spelling in same if unit[:1].isupper() and spelling[0] == unit[0]]
    return capital or same[:2]
