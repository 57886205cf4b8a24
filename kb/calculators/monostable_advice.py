"""What a colleague says about a one-shot's parts: limits, warnings and the habits of the device.

Sentences only; every number in them comes from the device's data or from a formula.
"""

from __future__ import annotations

from kb.calculators.base import Note
from kb.calculators.one_shot_circuit import Circuit, Parts
from kb.calculators.one_shot_devices import Device, Range
from kb.calculators.one_shot_timing import TURN_OFF
from kb.calculators.working import Band, shown

# From here up a timing capacitor is usually an electrolytic (common practice, no source).
POLARISED_F = 1e-6
ELECTROLYTIC = "from 1 µF up it is often an electrolytic: mind polarity, leakage and the wide tolerance"
SHEETS_DIFFER = 1.05
SUPPLY_DIFFERS = 0.1


def limits(device: Device, supply_v: float) -> tuple[str, ...]:
    """The published limits as sentences."""
    resistor, capacitor = device.resistor_ohm, device.capacitor_f
    found = [_range("Resistor", resistor, "resistance"), _range("Capacitor", capacitor, "capacitance")]
    ceiling = _ceiling(device, supply_v)
    if ceiling:
        found.append(
            f"Resistor at most about {shown(ceiling, 'resistance')} at this supply (TI SLFS022, seen)"
        )
    low, high = device.supply_v
    found.append(f"Supply {shown(low, 'voltage')} to {shown(high, 'voltage')} (from memory)")
    return tuple(text for text in found if text)


def _range(word: str, limit: Range, dimension: str) -> str:
    if limit.low is None and limit.high is None:
        return ""
    if limit.high is None:
        return f"{word} from {shown(limit.low or 0.0, dimension)} ({limit.status})"
    return f"{word} {shown(limit.low or 0.0, dimension)} to {shown(limit.high, dimension)} ({limit.status})"


def _ceiling(device: Device, supply_v: float) -> float | None:
    """The greatest resistor at the published supply nearest below ours."""
    below = [ohms for known_v, ohms in device.ceilings if known_v <= supply_v]
    return below[-1] if below else (device.ceilings[0][1] if device.ceilings else None)


def advice(circuit: Circuit, parts: Parts, made: Parts, sheets_s: Band) -> tuple[Note, ...]:
    """All warnings first, then the notes."""
    warnings = [
        *_out_of_range(circuit, parts), *_out_of_range(circuit, made), *_supply(circuit),
        *_polarity(circuit, max(parts.capacitor, made.capacitor)), *_disagreement(circuit, sheets_s),
    ]  # fmt: skip
    notes = [*circuit.device.remarks, *_dynamics(circuit, parts), *_assumptions(circuit)]
    return (
        *(Note("warning", text) for text in dict.fromkeys(warnings)),
        *(Note("note", text) for text in dict.fromkeys(notes)),
    )


def _out_of_range(circuit: Circuit, parts: Parts) -> list[str]:
    device = circuit.device
    found = []
    ohms, farads = device.resistor_ohm, device.capacitor_f
    most = min((value for value in (ohms.high, _ceiling(device, circuit.supply_v)) if value), default=None)
    resistor, capacitor = shown(parts.resistor, "resistance"), shown(parts.capacitor, "capacitance")
    if ohms.low and parts.resistor < ohms.low * (1 - 1e-9):
        least = shown(ohms.low, "resistance")
        found.append(f"{resistor} is below the least resistor of {least} for a {device.name}")
    if most and parts.resistor > most * (1 + 1e-9):
        greatest = shown(most, "resistance")
        found.append(f"{resistor} is above the greatest resistor of {greatest} for a {device.name}")
    if farads.low and parts.capacitor < farads.low * (1 - 1e-9):
        least = shown(farads.low, "capacitance")
        found.append(
            f"{capacitor} is below {least}, where the formula stops holding: read the sheet's curves"
        )
    if farads.high and parts.capacitor > farads.high * (1 + 1e-9):
        greatest = shown(farads.high, "capacitance")
        found.append(f"{capacitor} is above the greatest capacitor of {greatest} for a {device.name}")
    return found


def _supply(circuit: Circuit) -> list[str]:
    low, high = circuit.device.supply_v
    own = shown(circuit.supply_v, "voltage")
    found = []
    if not low <= circuit.supply_v <= high:
        between = f"{shown(low, 'voltage')} to {shown(high, 'voltage')}"
        found.append(f"{own} is outside the supply of a {circuit.device.name}, {between} (from memory)")
    published = circuit.timing.published_supply(circuit.supply_v)
    if published and abs(circuit.supply_v / published - 1) > SUPPLY_DIFFERS:
        near = shown(published, "voltage")
        found.append(f"the factor changes with the supply; the one used is published for {near}, not {own}")
    return found


def _polarity(circuit: Circuit, farads: float) -> list[str]:
    if farads < POLARISED_F:
        return []
    found = [ELECTROLYTIC]
    is_cured = circuit.device.wants_diode and circuit.has_diode
    if circuit.device.electrolytic and not is_cured:
        found.append(circuit.device.electrolytic)
    return found


def _disagreement(circuit: Circuit, sheets_s: Band) -> list[str]:
    low, high = sheets_s
    if high < SHEETS_DIFFER * low:
        return []
    between = f"{shown(low, 'time')} to {shown(high, 'time')}"
    text = f"data sheets disagree: with these parts they give {between} for a {circuit.device.name}"
    return [f"{text}; read the maker on the part, and measure"]


def _dynamics(circuit: Circuit, parts: Parts) -> list[str]:
    device, found = circuit.device, []
    if device.retrigger is not None:
        wait = shown(device.retrigger.seconds(parts.resistor, parts.capacitor), "time")
        found.append(f"another trigger counts only from about {wait} after the first")
    if device.turn_off_a is not None:
        values = {"V": circuit.supply_v, "C": parts.capacitor, "I": device.turn_off_a}
        fall = shown(TURN_OFF.evaluate(values), "time")
        found.append(f"the supply must take longer than {fall} to fall when it is switched off")
    if not device.is_retriggerable:
        found.append("a trigger during the pulse is ignored")
    return found


def _assumptions(circuit: Circuit) -> list[str]:
    found = []
    given = circuit.given
    for key in ("resistor", "capacitor"):
        own = given.quantities.get(key)
        if f"{key}_tolerance" not in given.written and not (own is not None and own.has_tolerance):
            _, plus = given.tolerance(key)
            found.append(f"no tolerance was given for the {key}: ±{100 * plus:g} % is assumed")
    if circuit.spread is None:
        found.append("no spread of the circuit itself is known here: the bands hold the parts only")
    if circuit.has_diode and circuit.sheet.with_diode is None:
        found.append("no other formula is published here for use with a diode")
    return found
