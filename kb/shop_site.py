"""From a shop folder to all its pages, as every adapter wants them: with the handbook, and with what is kept.

What a run leaves for the next one lies in `.halfsplit` of the shop.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from kb.handbook import handbook_folder
from kb.pages import PageSet, build_site
from kb.problems import Problem
from kb.reading.last_changed import last_changes
from kb.shop import load_shop
from kb.store import Store


def pages_of_shop(root: Path) -> tuple[PageSet | None, tuple[Problem, ...]]:
    """The pages of the shop in `root`; None with all the reasons when anything is wrong in it."""
    store = Store(root)
    shop, problems = load_shop(root, handbook_folder(), store)
    if shop is None:
        return None, problems
    return build_site(shop, root / ".halfsplit" / "figures", store, last_changes(root))


def nothing_written(problems: Sequence[Problem]) -> str:
    """The message of a build that stopped before it wrote anything, with a line for each reason."""
    head = f"halfsplit: {len(problems)} found in the records; nothing was written"
    return "\n".join([head, *map(str, problems)])
