"""The two ends of a gate or trigger connection: what the output gives and what the input needs.

Levels come from what was written, else from the logic family named; nothing is guessed.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.calculators.base import CalculationError, InputProblem
from kb.calculators.logic_levels import FAMILIES, Levels
from kb.calculators.plan import Variable
from kb.calculators.plan_parts import tolerance, variable
from kb.calculators.reading import Given
from kb.calculators.tolerances import PartTolerance
from kb.quantities import show

USUAL_SUPPLY_V = 5.0
# Absolute maximum of most logic inputs (from memory): half a volt above the chip's own supply.
ABOVE_SUPPLY_V = 0.5

NAMES = {
    "output_high": "V_OH", "output_low": "V_OL", "output_duration": "t_O",
    "input_high": "V_IH", "input_low": "V_IL", "input_duration": "t_I", "input_most": "V_IM",
}  # fmt: skip


@dataclass(frozen=True)
class Ends:
    """What is known of both ends; a key that is neither a variable nor a constant is unknown."""

    variables: tuple[Variable, ...]
    constants: dict[str, float]
    tolerances: dict[str, PartTolerance]
    output_levels: Levels | None
    input_levels: Levels | None
    remarks: tuple[str, ...]

    def knows(self, *names: str) -> bool:
        """Whether all of the formula names have a value."""
        return self.names.issuperset(names)

    @property
    def names(self) -> frozenset[str]:
        """The formula names that have a value."""
        return frozenset((*self.constants, *(each.name for each in self.variables)))


def read_ends(given: Given) -> Ends:
    """Put what was written before what the families say; CalculationError where they don't go together."""
    _check_switch(given)
    output, output_remarks = _levels(given, "output")
    needed, input_remarks = _levels(given, "input")
    constants: dict[str, float] = {}
    if output is not None:
        constants |= _known({"V_OH": output.output_high_v, "V_OL": output.output_low_v})
    if needed is not None:
        most = needed.supply_v + ABOVE_SUPPLY_V
        constants |= _known({"V_IH": needed.input_high_v, "V_IL": needed.input_low_v, "V_IM": most})
    variables = [variable(given, key, name) for key, name in NAMES.items() if given.has(key)]
    if given.word("output_style") == "switch":
        constants["V_OL"] = 0.0
        if given.has("pull_up"):
            variables.append(variable(given, "pull_up", "V_OH"))
    written = {each.name for each in variables}
    constants = {name: value for name, value in constants.items() if name not in written}
    tolerances = {each.name: tolerance(given, each.key) for each in variables}
    return Ends(tuple(variables), constants, tolerances, output, needed, output_remarks + input_remarks)


def _check_switch(given: Given) -> None:
    if given.word("output_style") != "switch":
        if given.has("pull_up") and given.word("input_style") != "switch":
            what = "is given, but neither end is a switch"
            raise CalculationError(
                InputProblem("pull_up", what, "write output_style: switch or leave it out")
            )
        return
    for key in ("output_high", "output_family"):
        if given.has(key):
            advice = (
                "a contact or open collector only pulls down: give pull_up, the voltage behind the resistor"
            )
            raise CalculationError(InputProblem(key, "is given for an output that is a switch", advice))


def _levels(given: Given, end: str) -> tuple[Levels | None, tuple[str, ...]]:
    key = f"{end}_family"
    if not given.has(key):
        return None, ()
    family = FAMILIES[given.word(key)]
    supply_key = f"{end}_supply" if given.has(f"{end}_supply") else "supply"
    supply_v = given.value(supply_key) if given.has(supply_key) else USUAL_SUPPLY_V
    levels = family.at(supply_v)
    if levels is None:
        what = f"nothing is published for {family.name} at {show(supply_v, 'voltage')}"
        advice = f"give {show(family.least_v, 'voltage')} to {show(family.most_v, 'voltage')}, or the levels"
        raise CalculationError(InputProblem(supply_key, what, advice))
    if end == "output" and levels.output_high_v is None and not given.has("output_high"):
        what = f"no output levels are published for {family.name} at {show(supply_v, 'voltage')}"
        raise CalculationError(InputProblem(supply_key, what, "give output_high and output_low"))
    if family.is_published_at(supply_v):
        return levels, ()
    return levels, (f"the levels of {family.name} are interpolated between published supplies",)


def _known(values: dict[str, float | None]) -> dict[str, float]:
    return {name: value for name, value in values.items() if value is not None}
