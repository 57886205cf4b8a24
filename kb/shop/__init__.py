"""A whole shop: all its records, checked against each other, immutable.

What is asked of this package is loaded only then: serial numbers alone must not wait for the records.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kb.shop.building import load_shop
    from kb.shop.links import Links
    from kb.shop.serials import SerialRange, UnreadableSerials, parse_serials
    from kb.shop.shop import ModelFacts, Shop
else:
    _HOMES = {
        "load_shop": "building",
        "Links": "links",
        "SerialRange": "serials",
        "UnreadableSerials": "serials",
        "parse_serials": "serials",
        "ModelFacts": "shop",
        "Shop": "shop",
    }

    def __getattr__(name: str) -> object:
        if name not in _HOMES:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        return getattr(importlib.import_module(f"kb.shop.{_HOMES[name]}"), name)


__all__ = ["Links", "ModelFacts", "SerialRange", "Shop", "UnreadableSerials", "load_shop", "parse_serials"]
