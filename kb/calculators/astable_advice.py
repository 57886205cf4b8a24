"""What a colleague says about an oscillator's parts: limits, warnings and the habits of the device.

Sentences only; the numbers in them are those of the device's data.
"""

from __future__ import annotations

from typing import Literal

from kb.calculators.astable_devices import SCHMITT, TIMER, Oscillator
from kb.calculators.base import Note
from kb.calculators.plan import Condition
from kb.calculators.working import shown
from kb.formulas import Expression

ELECTROLYTIC = "from 1 µF up it is often an electrolytic: mind polarity, leakage and the wide tolerance"
STRAY = "below 100 pF the wiring and the input itself count too: the frequency comes out lower"
FAST = "above 100 kHz the delays of the device lengthen the period (common practice, no source)"
ASSUMED = "no tolerance was given for the capacitor: ±10 % is assumed"
DISAGREE = (
    "makers give other thresholds under the same number, so the period may be several times another maker's: "
    "read the maker on the part, use the table, and measure"
)
MEASURE = (
    "no fixed factor holds for a Schmitt inverter: within one sheet's limits the period may differ by more "
    "than the parts do; a trimmer is needed where the frequency matters"
)


def limits(device: Oscillator) -> tuple[str, ...]:
    """The limits as sentences."""
    found = []
    if device.supply_v:
        low, high = (shown(each, "voltage") for each in device.supply_v)
        found.append(f"Supply {low} to {high} (from memory)")
    for word, ohms in (("at least", device.least_ohm), ("at most", device.greatest_ohm)):
        if ohms:
            found.append(f"Resistor {word} about {shown(ohms, 'resistance')} ({device.range_status})")
    found += [
        f"Both resistors together at most about {shown(ohms, 'resistance')} at {shown(volts, 'voltage')} "
        "(TI SLFS022, seen)"
        for volts, ohms in device.ceilings
    ]
    if device.kind == SCHMITT:
        found.append("Input current and output resistance are left out.")
    if device.output_v:
        high, low = (shown(each, "voltage") for each in device.output_v)
        found.append(f"Output taken as {high} and {low}, typical with a light load")
    return tuple(found)


def conditions(device: Oscillator, supply_v: float | None) -> tuple[Condition, ...]:
    """The notes that depend on the parts."""
    resistor = "R_A" if device.kind == TIMER else "R"
    found = []
    if device.least_ohm:
        text = f"the resistor is below about {shown(device.least_ohm, 'resistance')} ({device.range_status})"
        found.append(
            _when("warning", f"{device.least_ohm:g}", resistor, f"{text}: the output cannot drive it")
        )
    if device.greatest_ohm:
        text = f"the resistor is above about {shown(device.greatest_ohm, 'resistance')}"
        found.append(
            _when(
                "warning", resistor, f"{device.greatest_ohm:g}",
                f"{text} ({device.range_status}): the input current of TTL may stop it altogether",
            )
        )  # fmt: skip
    if device.ceilings and supply_v is not None:
        most = next((ohms for volts, ohms in reversed(device.ceilings) if volts <= supply_v), None)
        most = most or device.ceilings[0][1]
        text = (
            f"the resistors together are above {shown(most, 'resistance')}: it may never reach its threshold"
        )
        found.append(_when("warning", "R_A + R_B", f"{most:g}", f"{text} (TI SLFS022, seen)"))
    return (
        *found,
        _when("note", "C", "0.999999e-6", ELECTROLYTIC),
        _when("note", "100e-12", "C", STRAY),
        _when("note", "f_O", "1e5", FAST),
        Condition.whenever("note", ASSUMED, assumed="capacitor"),
    )


def _when(level: Literal["note", "warning"], left: str, right: str, text: str) -> Condition:
    return Condition(Expression(left), ">", Expression(right), Note(level, text))


def always(device: Oscillator, supply_v: float | None, published_v: float | None) -> tuple[Note, ...]:
    """What holds whatever the parts are, warnings first."""
    found = []
    if device.supply_v and supply_v is not None and not device.supply_v[0] <= supply_v <= device.supply_v[1]:
        low, high = (shown(each, "voltage") for each in device.supply_v)
        text = f"{shown(supply_v, 'voltage')} is outside the supply of a {device.name}, {low} to {high}"
        found.append(Note("warning", f"{text} (from memory)"))
    if len([sheet for sheet in device.sheets if not sheet.is_kin]) > 1:
        found.append(Note("warning", DISAGREE))
    if device.kind == SCHMITT:
        found.append(Note("note", MEASURE))
    if published_v and supply_v and abs(supply_v / published_v - 1) > 1e-9:
        found.append(Note("note", _moved(device, supply_v, published_v)))
    return (*found, *(Note("note", text) for text in device.remarks))


def _moved(device: Oscillator, supply_v: float, published_v: float) -> str:
    at, own = shown(published_v, "voltage"), shown(supply_v, "voltage")
    if device.output_v:
        return f"the thresholds are published for {at} and taken for {own} as they are"
    return f"the thresholds are published for {at}; for {own} they are taken in proportion to the supply"
