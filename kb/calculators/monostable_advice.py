"""What a colleague says about a one-shot's parts: limits, warnings and the habits of the device.

Sentences only; every number in them comes from the device's data or is put in from the plan.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from kb.calculators.one_shot_circuit import NAME, Circuit
from kb.calculators.one_shot_devices import Device, Range
from kb.calculators.one_shot_timing import CAPACITOR, RESISTOR
from kb.calculators.plan import Comparison, Condition, Shown
from kb.calculators.working import shown

# From here up a timing capacitor is usually an electrolytic (common practice, no source).
POLARISED_F = 1e-6
ELECTROLYTIC = "from 1 µF up it is often an electrolytic: mind polarity, leakage and the wide tolerance"
SHEETS_DIFFER = 1.05
SUPPLY_DIFFERS = 0.1


def limits(device: Device, supply_v: float) -> tuple[str, ...]:
    """The published limits as sentences."""
    resistor, capacitor = device.resistor_ohm, device.capacitor_f
    found = [_range("Resistor", resistor, "resistance"), _range("Capacitor", capacitor, "capacitance")]
    if device.ceilings:
        known_v, ohms = _ceiling(device, supply_v)
        most, at = shown(ohms, "resistance"), shown(known_v, "voltage")
        found.append(f"Resistor at most about {most} at {at} (TI SLFS022, seen)")
    low, high = device.supply_v
    found.append(f"Supply {shown(low, 'voltage')} to {shown(high, 'voltage')} (from memory)")
    return tuple(text for text in found if text)


def _range(word: str, limit: Range, dimension: str) -> str:
    if limit.low is None and limit.high is None:
        return ""
    if limit.high is None:
        return f"{word} from {shown(limit.low or 0.0, dimension)} ({limit.status})"
    return f"{word} {shown(limit.low or 0.0, dimension)} to {shown(limit.high, dimension)} ({limit.status})"


def _ceiling(device: Device, supply_v: float) -> tuple[float, float]:
    """The published supply nearest below ours, and the greatest resistor there."""
    below = [entry for entry in device.ceilings if entry[0] <= supply_v]
    return below[-1] if below else device.ceilings[0]


def advice(circuit: Circuit) -> tuple[Condition, ...]:
    """All warnings first, then the notes."""
    preferred = f"{NAME[circuit.part]}_P"
    resistors = ("R", preferred) if circuit.part == RESISTOR else ("R",)
    capacitors = ("C", preferred) if circuit.part == CAPACITOR else ("C",)
    return (
        *(each for name in resistors for each in _resistor(circuit.device, name)),
        *(each for name in capacitors for each in _capacitor(circuit.device, name)),
        *_supply(circuit),
        *_polarity(circuit, capacitors),
        _disagreement(circuit),
        *_plain("note", circuit.device.remarks),
        *_dynamics(circuit.device),
        *_assumptions(circuit),
    )


def _plain(level: Literal["note", "warning"], texts: Iterable[str]) -> list[Condition]:
    return [Condition.whenever(level, text) for text in texts]


def _limit(name: str, dimension: str, comparison: str, text: str) -> Condition:
    fills = {"part": Shown(name, dimension)}
    return Condition.whenever("warning", text, Comparison.read(comparison), fills=fills)


def _resistor(device: Device, name: str) -> list[Condition]:
    found = []
    low, high = device.resistor_ohm.low, device.resistor_ohm.high
    if low:
        text = f"{{part}} is below the least resistor of {shown(low, 'resistance')} for a {device.name}"
        found.append(_limit(name, "resistance", f"{name} < {low!r} * (1 - 1e-9)", text))
    if high:
        text = f"{{part}} is above the greatest resistor of {shown(high, 'resistance')} for a {device.name}"
        found.append(_limit(name, "resistance", f"{name} > {high!r} * (1 + 1e-9)", text))
    if device.ceilings:
        fills = {"part": Shown(name, "resistance"), "most": Shown("R_most", "resistance")}
        text = f"{{part}} is above the greatest resistor of {{most}} for a {device.name}"
        over = Comparison.read(f"{name} > R_most * (1 + 1e-9)")
        found.append(Condition.whenever("warning", text, over, fills=fills))
    return found


def _capacitor(device: Device, name: str) -> list[Condition]:
    found = []
    low, high = device.capacitor_f.low, device.capacitor_f.high
    if low:
        least = shown(low, "capacitance")
        text = f"{{part}} is below {least}, where the formula stops holding: read the sheet's curves"
        found.append(_limit(name, "capacitance", f"{name} < {low!r} * (1 - 1e-9)", text))
    if high:
        text = f"{{part}} is above the greatest capacitor of {shown(high, 'capacitance')} for a {device.name}"
        found.append(_limit(name, "capacitance", f"{name} > {high!r} * (1 + 1e-9)", text))
    return found


def _supply(circuit: Circuit) -> list[Condition]:
    low, high = circuit.device.supply_v
    between = f"{shown(low, 'voltage')} to {shown(high, 'voltage')}"
    text = f"{{own}} is outside the supply of a {circuit.device.name}, {between} (from memory)"
    fills = {"own": Shown("V", "voltage")}
    found = [
        Condition.whenever("warning", text, Comparison.read(comparison), fills=fills)
        for comparison in (f"V < {low!r}", f"V > {high!r}")
    ]
    if circuit.timing.follows_supply:
        text = "the factor changes with the supply; the one used is published for {near}, not {own}"
        differs = Comparison.read(f"abs(V / V_K - 1) > {SUPPLY_DIFFERS!r}")
        near = {**fills, "near": Shown("V_K", "voltage")}
        found.append(Condition.whenever("warning", text, differs, fills=near))
    return found


def _polarity(circuit: Circuit, names: tuple[str, ...]) -> list[Condition]:
    """The preferred capacitor may be polarised where the computed one isn't."""
    texts = [ELECTROLYTIC]
    is_cured = circuit.device.wants_diode and circuit.has_diode
    if circuit.device.electrolytic and not is_cured:
        texts.append(circuit.device.electrolytic)
    greatest = f"max({', '.join(names)})" if len(names) > 1 else names[0]
    large = Comparison.read(f"{greatest} >= {POLARISED_F!r}")
    return [Condition.whenever("warning", text, large) for text in texts]


def _disagreement(circuit: Circuit) -> Condition:
    return Condition.whenever(
        "warning",
        f"data sheets disagree: with these parts they give {{low}} to {{high}} for a {circuit.device.name}; "
        "read the maker on the part, and measure",
        Comparison.read(f"t_high >= {SHEETS_DIFFER!r} * t_low"),
        fills={"low": Shown("t_low", "time"), "high": Shown("t_high", "time")},
    )


def _dynamics(device: Device) -> list[Condition]:
    found = []
    if device.retrigger is not None:
        text = "another trigger counts only from about {wait} after the first"
        found.append(Condition.whenever("note", text, fills={"wait": Shown("wait", "time")}))
    if device.turn_off_a is not None:
        text = "the supply must take longer than {fall} to fall when it is switched off"
        found.append(Condition.whenever("note", text, fills={"fall": Shown("fall", "time")}))
    if not device.is_retriggerable:
        found += _plain("note", ["a trigger during the pulse is ignored"])
    return found


def _assumptions(circuit: Circuit) -> list[Condition]:
    usual = {key: circuit.given.calculator.input(f"{key}_tolerance").default for key in (RESISTOR, CAPACITOR)}
    found = [
        Condition.whenever("note", f"no tolerance was given for the {key}: {text} is assumed", assumed=key)
        for key, text in usual.items()
    ]
    texts = []
    if not circuit.device.spreads:
        texts.append("no spread of the circuit itself is known here: the bands hold the parts only")
    if circuit.has_diode and circuit.sheet.with_diode is None:
        texts.append("no other formula is published here for use with a diode")
    return found + _plain("note", texts)
