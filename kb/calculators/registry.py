"""All calculators by name. Adding one is a file of its own and a line here.

Two calculators of one name are a mistake of ours and stop the program.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from importlib import metadata
from types import MappingProxyType

from kb.calculators import (
    astable,
    backup,
    comparator,
    dac_pitch,
    discharge,
    divider,
    gate_match,
    ladder,
    marking,
    monostable,
    preferred_value,
    pulse,
    rc,
    series_resistor,
    supply,
    tempo,
    tracking,
)
from kb.calculators.base import Calculator

GROUP = "halfsplit.calculators"


def collect(calculators: Iterable[Calculator]) -> Mapping[str, Calculator]:
    """The calculators by name; ValueError when two have one name or one declares itself wrongly."""
    found: dict[str, Calculator] = {}
    for calculator in calculators:
        if calculator.name in found:
            raise ValueError(f"two calculators are called {calculator.name}")
        _check(calculator)
        found[calculator.name] = calculator
    return MappingProxyType(found)


def _check(calculator: Calculator) -> None:
    for what, keys in (
        ("input", [item.key for item in calculator.inputs]),
        ("result", [item.key for item in calculator.results]),
    ):
        if len(set(keys)) != len(keys):
            raise ValueError(f"{calculator.name} declares an {what} twice")
    solvable = {item.key for item in calculator.inputs if item.solvable}
    if solvable != set(calculator.solve_group):
        raise ValueError(f"the solvable inputs of {calculator.name} are not its solve group")


def installed() -> tuple[Calculator, ...]:
    """The calculators of other packages, registered under the entry point group `halfsplit.calculators`."""
    found = sorted(metadata.entry_points(group=GROUP), key=lambda each: each.name)
    return tuple(each.load() for each in found)


OUR_OWN: tuple[Calculator, ...] = tuple(
    module.CALCULATOR
    for module in (
        astable,
        backup,
        comparator,
        dac_pitch,
        discharge,
        divider,
        gate_match,
        ladder,
        marking,
        monostable,
        preferred_value,
        pulse,
        rc,
        series_resistor,
        supply,
        tempo,
        tracking,
    )
)

CALCULATORS: Mapping[str, Calculator] = collect((*OUR_OWN, *installed()))
"""Every calculator there is, by name."""
