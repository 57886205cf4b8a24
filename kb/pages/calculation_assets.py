"""The scripts that let somebody change a calculation in a page: unit tables and plans, made at build time.

They are small classic scripts that a page loads when it is asked to, from disk as well as over HTTP. The
formulas in them are the plans that Python evaluated; nothing is written a second time.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from kb.calculators.changing import Changeable
from kb.calculators.series import NAMES, members
from kb.pages.pageset import Asset
from kb.quantities.tables import tables

UNITS = "halfsplit/units.js"


def calculation_assets(plans: Iterable[Changeable]) -> tuple[Asset, ...]:
    """The unit tables and one script for each kind of calculation; nothing when there is none."""
    by_name = {each.name: each for each in plans}
    made = [Asset(plan_path(name), _call("plan", name, each.data)) for name, each in sorted(by_name.items())]
    return (*made, unit_tables()) if made else ()


def unit_tables() -> Asset:
    """The script with the unit tables, by which readings are judged too."""
    return Asset(UNITS, _call("units", "tables", unit_data()))


def plan_path(name: str) -> str:
    """Where the script of one plan lies."""
    return f"halfsplit/plans/{name}.js"


def unit_data() -> dict[str, Any]:
    """What the reader and the evaluation need to know beside the plans."""
    return {**tables(), "series": {name: list(members(int(name[1:]))) for name in NAMES}}


def _call(what: str, name: str, data: Any) -> bytes:
    written = json.dumps(data, ensure_ascii=True, separators=(",", ":"))
    return f'halfsplitCalculations.add("{what}","{name}",{written});\n'.encode("ascii")
