"""Published levels of the logic families found behind gate and trigger sockets, as data.

Levels are limits, not what one good part gives: outputs under load at their worst, inputs at their most
demanding. Between two published supplies they are interpolated; outside them nothing is made up.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from kb.formulas import Expression

FAN_OUT = Expression("I_OL / I_IL")
PART_OF_SUPPLY = Expression("V / V_S")


@dataclass(frozen=True)
class Levels:
    """Levels at one supply; currents are what an output sinks when low and what an input wants sunk."""

    supply_v: float
    input_high_v: float
    input_low_v: float
    output_high_v: float | None = None
    output_low_v: float | None = None
    sinks_a: float | None = None
    draws_a: float | None = None


@dataclass(frozen=True)
class Family:
    """A family with its published rows by rising supply; they hold from `least_v` to `most_v`."""

    name: str
    rows: tuple[Levels, ...]
    least_v: float
    most_v: float
    document: str
    status: str

    def at(self, supply_v: float) -> Levels | None:
        """The levels at `supply_v`, None where nothing is published."""
        if not self.least_v <= supply_v <= self.most_v:
            return None
        for lower, upper in zip(self.rows, self.rows[1:], strict=False):
            if lower.supply_v <= supply_v <= upper.supply_v:
                return _between(lower, upper, supply_v)
        return replace(self.rows[-1], supply_v=supply_v)

    def is_published_at(self, supply_v: float) -> bool:
        """Whether the levels at `supply_v` were read rather than interpolated."""
        return len(self.rows) == 1 or any(row.supply_v == supply_v for row in self.rows)


def _between(lower: Levels, upper: Levels, supply_v: float) -> Levels:
    part = (supply_v - lower.supply_v) / (upper.supply_v - lower.supply_v)

    def mixed(low: float | None, high: float | None) -> float | None:
        if low is None or high is None:
            return (high if part == 1 else None) if low is None else (low if part == 0 else None)
        return low if part == 0 else high if part == 1 else low + part * (high - low)

    return Levels(
        supply_v,
        mixed(lower.input_high_v, upper.input_high_v) or 0.0,
        mixed(lower.input_low_v, upper.input_low_v) or 0.0,
        mixed(lower.output_high_v, upper.output_high_v),
        mixed(lower.output_low_v, upper.output_low_v),
        mixed(lower.sinks_a, upper.sinks_a),
        mixed(lower.draws_a, upper.draws_a),
    )


INPUTS_FROM_MEMORY = "seen in source; input levels partly from memory"

FAMILIES = {
    family.name: family
    for family in (
        Family(
            "ttl", (Levels(5.0, 2.0, 0.8, 2.4, 0.4, 16e-3, 1.6e-3),), 4.5, 5.5,
            "NTE7413 (standard TTL): outputs at -0.8 mA and 16 mA", INPUTS_FROM_MEMORY,
        ),
        Family(
            "ls", (Levels(5.0, 2.0, 0.8, 2.7, 0.5, 8e-3, 0.4e-3),), 4.5, 5.5,
            "Fairchild DM74LS14: outputs at -0.4 mA and 8 mA", INPUTS_FROM_MEMORY,
        ),
        Family(
            "hc",
            (
                Levels(2.0, 1.5, 0.5), Levels(4.5, 3.15, 1.35, 3.98, 0.26, 4e-3),
                Levels(6.0, 4.2, 1.8, 5.48, 0.26, 4e-3),
            ),
            2.0, 6.0, "Harris CD74HC123: outputs at 4 mA", "seen in source",
        ),
        Family(
            "hct", (Levels(4.5, 2.0, 0.8, 3.98, 0.26, 4e-3),), 4.5, 5.5,
            "TI SN74AHCT123A (inputs), CD74HCT (outputs at 4 mA)", "seen in source",
        ),
        Family(
            "cmos4000",
            (
                Levels(5.0, 3.5, 1.5, 4.95, 0.05, 0.44e-3), Levels(10.0, 7.0, 3.0, 9.95, 0.05),
                Levels(15.0, 11.0, 4.0, 14.95, 0.05),
            ),
            5.0, 15.0, "National CD4001BC and CD4011BC: outputs unloaded, 0.44 mA sunk at 5 V",
            "seen in source",
        ),
    )
}  # fmt: skip
"""The families by the name an input takes."""

ALIASES = {
    "74": "ttl", "standard": "ttl", "7400": "ttl", "74ls": "ls", "lsttl": "ls", "74hc": "hc", "74hct": "hct",
    "4000": "cmos4000", "4000b": "cmos4000", "cmos": "cmos4000", "cd4000": "cmos4000", "cd4000b": "cmos4000",
}  # fmt: skip


def read_family(text: str) -> str | None:
    """The family that `text` means, such as cmos4000 for 4000B; None when it means none."""
    name = "".join(text.lower().split()).replace("-", "")
    name = ALIASES.get(name, name)
    return name if name in FAMILIES else None
