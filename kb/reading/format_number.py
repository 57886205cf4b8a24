"""The format of a shop's records: one number for the whole folder, in `shop.yml`; 1 where it is not told."""

from __future__ import annotations

from pathlib import Path

from kb.problems import Problem
from kb.reading.finding import CARD, bytes_of
from kb.reading.tree import Mapping, Scalar, UnreadableYaml, decode, read_tree
from kb.records.shop import FORMAT


def format_scalar(text: str) -> Scalar | None:
    """The number as it stands in the text of `shop.yml`, if it does."""
    tree, _ = read_tree(text, CARD)
    entry = tree.get("format") if isinstance(tree, Mapping) else None
    return entry.value if entry is not None and isinstance(entry.value, Scalar) else None


def unknown_format(root: Path) -> Problem | None:
    """The problem that the records have a format this halfsplit does not know.

    It is told alone: what else is wrong in such a folder may be right in its own format.
    """
    try:
        found = format_scalar(decode(bytes_of(root / CARD), CARD))
    except (OSError, UnreadableYaml):
        return None
    if found is None or not found.text.isdecimal() or 1 <= int(found.text) <= FORMAT:
        return None
    what = f"the records have format {found.text[:20]}; this halfsplit knows up to {FORMAT}"
    return Problem(
        CARD, found.place.line, found.place.column, what, "use a newer halfsplit, or correct the number"
    )
