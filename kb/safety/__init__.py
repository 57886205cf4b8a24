"""Cautions: what can hurt, where it is said, and what a capacitor still holds."""

from __future__ import annotations

from kb.safety.hazards import DEFERENCE, Caution, Cautions, Hazard, hazards, hazards_named
from kb.safety.stored_energy import StoredEnergy, stored_energy

__all__ = [
    "DEFERENCE", "Caution", "Cautions", "Hazard", "StoredEnergy", "hazards", "hazards_named", "stored_energy",
]  # fmt: skip
