"""What a reservoir capacitor still holds after the plug is out, from the record's own values."""

from __future__ import annotations

from dataclasses import dataclass

from kb.calculators import Calculation, calculate
from kb.quantities import Quantity, show
from kb.records import Reservoir


@dataclass(frozen=True)
class StoredEnergy:
    """One capacitor: the energy it holds and, where a bleeder is fitted, how long it takes to empty.

    `energy` and `wait` are worst cases as text; `wait` is None without a bleeder, and
    `below_already` is True where the capacitor never is above the safe voltage.
    """

    name: str
    capacitor: str
    voltage: str
    bleeder: str | None
    energy: str
    wait: str | None
    safe_voltage: str
    below_already: bool
    calculation: Calculation


def stored_energy(reservoir: Reservoir, safe_voltage: Quantity) -> StoredEnergy:
    """What `reservoir` holds in the worst case, and the least time to wait before measuring."""
    # Without a bleeder the energy is the same; the calculator needs some resistor to speak of a time.
    bleeder = reservoir.bleeder
    found = calculate(
        "discharge",
        {
            "capacitor": reservoir.capacitor.text,
            "voltage": reservoir.voltage.text,
            "resistor": bleeder.text if bleeder else "1 Mohm",
            "safe": safe_voltage.text,
        },
    )
    results = {result.key: result for result in found.results}
    return StoredEnergy(
        reservoir.name,
        reservoir.capacitor.shown,
        reservoir.voltage.shown,
        bleeder.shown if bleeder else None,
        worst(found, "energy"),
        worst(found, "time") if bleeder else None,
        safe_voltage.shown,
        results["time"].value == 0,
        found,
    )


def worst(calculation: Calculation, key: str) -> str:
    """The upper end of a result's band, or the result where it has none, as text."""
    result = next(result for result in calculation.results if result.key == key)
    value = result.high if result.high is not None else result.value
    return show(float(value), result.dimension)
