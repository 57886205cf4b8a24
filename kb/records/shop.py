"""The shop itself: what its pages are called, and the mains and the safe voltage it works with."""

from __future__ import annotations

from pydantic import Field

from kb.records.fields import Frequency, Line, Prose, Voltage, VoltageSpan, Whole, Written

FORMAT = 2
"""The format of records that this halfsplit writes, and the highest that it reads."""


class Mains(Written):
    """The mains of the place."""

    voltage: VoltageSpan = Field(description="with its band, such as 230 V +10/-6 %")
    frequency: Frequency


class ShopCard(Written):
    """`shop.yml`."""

    format: Whole = Field(1, description="of all records of the shop; halfsplit upgrade brings it up to date")
    name: Line
    place: Line | None = None
    mains: Mains
    safe_voltage: Voltage = Field(
        description="below this a charged capacitor counts as safe in this shop; ask your local code"
    )
    currency: Line | None = None
    local_code: Line = Field(description="the rules for electrical work that hold where the shop is")
    welcome: Prose | None = Field(None, description="shown on the first page")
