"""All calculators by name. Adding one is a file of its own and a line here.

Two calculators of one name are a mistake of ours and stop the program.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
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
    monostable,
    preferred_value,
    rc,
    series_resistor,
    tempo,
    tracking,
)
from kb.calculators.base import Calculator


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


CALCULATORS: Mapping[str, Calculator] = collect(
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
        monostable,
        preferred_value,
        rc,
        series_resistor,
        tempo,
        tracking,
    )
)
"""Every calculator there is, by name."""
