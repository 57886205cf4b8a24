"""A whole shop: all its records, checked against each other, immutable."""

from __future__ import annotations

from kb.shop.building import load_shop
from kb.shop.links import Links
from kb.shop.serials import SerialRange, UnreadableSerials, parse_serials
from kb.shop.shop import ModelFacts, Shop

__all__ = ["Links", "ModelFacts", "SerialRange", "Shop", "UnreadableSerials", "load_shop", "parse_serials"]
