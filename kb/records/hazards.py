"""The ids of the hazards a record may declare. What each one means stands in `kb.safety`."""

from __future__ import annotations

from typing import Literal, get_args

HazardId = Literal[
    "mains", "stored-energy", "high-voltage", "batteries", "hot-parts", "chemicals", "sharp-or-heavy"
]
HAZARD_IDS: tuple[str, ...] = get_args(HazardId)
