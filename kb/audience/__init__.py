"""What may leave the shop: an allow-list of records and fields, and nets that catch what slips through."""

from __future__ import annotations

from kb.audience.fields import FIELDS, is_public, may_leave, public_values
from kb.audience.projecting import project, select
from kb.audience.public import (
    PublicFault,
    PublicGuide,
    PublicModel,
    PublicPart,
    PublicSite,
    PublicText,
)

__all__ = [
    "FIELDS", "PublicFault", "PublicGuide", "PublicModel", "PublicPart", "PublicSite", "PublicText",
    "is_public", "may_leave", "project", "public_values",
    "select",
]  # fmt: skip
