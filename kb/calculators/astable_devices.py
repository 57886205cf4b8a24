"""Oscillators as their data sheets describe them: thresholds, limits, and who says so.

Facts only. Where makers give other thresholds under the same number each of them is kept; nothing here may
be averaged, and no single factor may be quoted for a Schmitt inverter.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

SEEN = "seen in source"
MEMORY = "from memory"

Kind = Literal["timer", "schmitt", "opamp"]
TIMER: Kind = "timer"
SCHMITT: Kind = "schmitt"
OPAMP: Kind = "opamp"


@dataclass(frozen=True)
class Level:
    """One threshold in volts; `typical` is None where the sheet gives limits alone."""

    least: float
    typical: float | None
    greatest: float


@dataclass(frozen=True)
class Thresholds:
    """What a sheet gives at one supply; the hysteresis has its own limits, which the thresholds must keep."""

    supply_v: float
    rising: Level
    falling: Level
    least_hysteresis_v: float
    greatest_hysteresis_v: float | None = None


@dataclass(frozen=True)
class SchmittSheet:
    """One maker's thresholds; `is_kin` for a part that is taken for this one but has others."""

    maker: str
    part: str
    document: str
    thresholds: tuple[Thresholds, ...]
    status: str = SEEN
    is_kin: bool = False

    @property
    def has_typical(self) -> bool:
        """Whether a period can be given, not only its limits."""
        return self.thresholds[0].rising.typical is not None


@dataclass(frozen=True)
class Oscillator:
    """A device; the first sheet is used when no maker is named.

    `output_v` are its levels where they are not the rails. `resistor_ohm` is the range in which the formula
    holds, with how that was confirmed. `ceilings` are (supply, most ohms of both resistors together).
    """

    name: str
    kind: Kind
    supply_v: tuple[float, float] | None
    usual_v: float | None
    aliases: tuple[str, ...] = ()
    sheets: tuple[SchmittSheet, ...] = ()
    output_v: tuple[float, float] | None = None
    least_ohm: float | None = None
    greatest_ohm: float | None = None
    range_status: str = ""
    ceilings: tuple[tuple[float, float], ...] = ()
    remarks: tuple[str, ...] = ()


Typical = tuple[float, float | None, float]


def _at(
    supply_v: float, rising: Typical, falling: Typical, hysteresis: tuple[float, float | None]
) -> Thresholds:
    """One row of a sheet: supply, thresholds and hysteresis, each from least to greatest, in volts."""
    return Thresholds(supply_v, Level(*rising), Level(*falling), *hysteresis)


_NATIONAL = SchmittSheet(
    "National", "CD40106B", "National CD40106B, TL/F/5985",
    (
        _at(5.0, (3.0, 3.6, 4.3), (0.7, 1.4, 2.0), (1.0, 3.6)),
        _at(10.0, (6.0, 6.8, 8.6), (1.4, 3.2, 4.0), (2.0, 7.2)),
        _at(15.0, (9.0, 10.0, 12.9), (2.1, 5.0, 6.0), (3.0, 10.8)),
    ),
)  # fmt: skip
_PHILIPS = SchmittSheet(
    "Philips", "HEF40106B", "Philips HEF40106B",
    (
        _at(5.0, (2.0, 3.0, 3.5), (1.5, 2.2, 3.0), (0.5, None)),
        _at(10.0, (3.7, 5.8, 7.0), (3.0, 4.5, 6.3), (0.7, None)),
        _at(15.0, (4.9, 8.3, 11.0), (4.0, 6.5, 10.1), (0.9, None)),
    ),
)  # fmt: skip
_NXP = SchmittSheet(
    "NXP", "74HC1G14", "NXP 74HC1G14, -40 to 85 °C (one gate of the same family)",
    (_at(4.5, (1.7, 2.36, 3.15), (0.9, 1.53, 2.0), (0.4, 1.4)),),
)  # fmt: skip
_ON = SchmittSheet(
    "ON", "MC74HC14A", "ON MC74HC14A", (_at(4.5, (2.3, None, 3.15), (0.9, None, 2.0), (0.4, 2.25)),)
)
_TI_HCT = SchmittSheet(
    "TI", "CD74HCT14", "TI CD74HCT14", (_at(4.5, (1.2, None, 1.9), (0.5, None, 1.2), (0.4, 1.4)),),
    is_kin=True,
)  # fmt: skip
_FAIRCHILD = SchmittSheet(
    "Fairchild", "DM74LS14", "Fairchild DM74LS14",
    (_at(5.0, (1.4, 1.6, 1.9), (0.5, 0.8, 1.0), (0.4, None)),),
)  # fmt: skip
_NTE = SchmittSheet(
    "NTE", "NTE7413", "NTE NTE7413 (the same input in a NAND gate)",
    (_at(5.0, (1.5, 1.7, 2.0), (0.6, 0.9, 1.1), (0.4, None)),),
)  # fmt: skip

_NEIGHBOURS = "the other gates of the same package share the supply: a fast edge of one upsets a slow input"
_TIMER_SPREAD = (
    "the circuit adds about 2.25 % (typical), 150 ppm/K and 0.3 %/V to what the parts do (TI SLFS022, seen)"
)
_SPIKE = (
    "its supply current jumps as the output switches: 100 nF and an electrolytic close to its pins (common "
    "practice, no source)"
)
_DUTY = "the high time is the longer one: both resistors charge, only resistor_b discharges"

DEVICES: tuple[Oscillator, ...] = (
    Oscillator(
        "NE555", TIMER, (4.5, 16.0), 5.0,
        ("555", "LM555", "SE555", "NA555", "SA555", "MC1455", "LM1455", "556", "NE556", "LM556"),
        least_ohm=1e3, range_status=MEMORY, ceilings=((5.0, 3.4e6), (15.0, 10e6)),
        remarks=(_TIMER_SPREAD, _DUTY, _SPIKE),
    ),
    Oscillator(
        "7555", TIMER, (2.0, 18.0), 5.0, ("ICM7555", "TLC555", "LMC555", "7556"),
        least_ohm=1e3, range_status=MEMORY, remarks=(_DUTY,),
    ),
    Oscillator(
        "CD40106", SCHMITT, (3.0, 15.0), 5.0, ("40106", "HEF40106", "MC14106", "14106"),
        (_NATIONAL, _PHILIPS), least_ohm=10e3, range_status="common practice, no source",
        remarks=(_NEIGHBOURS,),
    ),
    Oscillator(
        "74HC14", SCHMITT, (2.0, 6.0), 5.0, ("MC74HC14", "74HC1G14"), (_NXP, _ON, _TI_HCT),
        least_ohm=1e3, range_status="common practice, no source", remarks=(_NEIGHBOURS,),
    ),
    Oscillator(
        "74LS14", SCHMITT, (4.75, 5.25), 5.0, ("DM74LS14",), (_FAIRCHILD,), (3.4, 0.25),
        greatest_ohm=1e3, range_status=MEMORY,
        remarks=("its input gives out up to 0.18 mA, which the formula leaves out: keep the resistor small",),
    ),
    Oscillator(
        "7414", SCHMITT, (4.75, 5.25), 5.0, ("7413", "NTE7413", "SN7414"), (_NTE,), (3.4, 0.2),
        greatest_ohm=390.0, range_status=MEMORY,
        remarks=("its input gives out more current than the formula knows: keep the resistor small",),
    ),
    Oscillator(
        "opamp", OPAMP, None, None, ("OPAMP",),
        least_ohm=1e3, range_status="common practice, no source",
        remarks=(
            "the rails drop out of the period only if both output levels lie equally far from the reference",
            "a slow op-amp adds the time its output takes from rail to rail, twice in each period",
        ),
    ),
)  # fmt: skip
"""Every oscillator there is; supply ranges are from memory."""
