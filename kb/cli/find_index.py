"""The index of symptoms for the terminal: as it was kept, or made from what can be read of the shop.

What is needed to make one is imported only then, so that a question asked twice is answered at once.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

from kb.search import SymptomIndex
from kb.search.kept import State, code_key, keep, load, pack, unpack

_INDEX, _NOTES, _LEFT_OUT = "index", "notes", "left-out"


@dataclass(frozen=True)
class ShopIndex:
    """The symptoms of a shop, and how many of its files are not among them because they have problems."""

    symptoms: SymptomIndex
    left_out: int


def shop_index(root: Path) -> ShopIndex:
    """The index of the shop folder at `root` as its files are now."""
    state = State.of(root)
    body = load(root, _INDEX, state.key)
    if body is None:
        body = _made(root, state)
    files = unpack(body)
    return ShopIndex(SymptomIndex(files), json.loads(files.pop(_LEFT_OUT)))


def _made(root: Path, state: State) -> bytes:
    from kb.search.building import PHRASES  # noqa: PLC0415 - reading records takes longer than searching
    from kb.search.collecting import collect  # noqa: PLC0415
    from kb.search.faults import fault_files  # noqa: PLC0415
    from kb.search.notes import found_faults  # noqa: PLC0415
    from kb.search.noting import hazard_titles  # noqa: PLC0415
    from kb.search.synonyms import phrases_for  # noqa: PLC0415

    code = code_key()
    found = collect(root, state, json.loads(load(root, _NOTES, code) or b"{}"))
    phrases = phrases_for(found.notes.synonyms)
    files = fault_files(tuple(found_faults(found.notes)), found.notes.models, hazard_titles(), phrases)
    body = pack({**files, PHRASES: phrases.as_json(), _LEFT_OUT: found.left_out})
    keep(root, _NOTES, code, json.dumps(found.kept, separators=(",", ":")).encode())
    if state.all_settled and found.complete:
        keep(root, _INDEX, state.key, body)
    return body
