"""Calculators: the sums of the repair bench, with their formulas, limits, cautions and sources.

`calculate` takes what a person wrote and gives a Calculation or raises CalculationError. Importing
this package must stay cheap: numpy and matplotlib are left to those who need them.
"""

from __future__ import annotations

from kb.calculators.base import (
    Calculation,
    CalculationError,
    Calculator,
    Cell,
    Column,
    Input,
    InputProblem,
    Note,
    Result,
    ResultSpec,
    ShownFormula,
    ShownInput,
    Source,
    Table,
)
from kb.calculators.registry import CALCULATORS, collect
from kb.calculators.run import calculate

__all__ = [
    "CALCULATORS",
    "Calculation",
    "CalculationError",
    "Calculator",
    "Cell",
    "Column",
    "Input",
    "InputProblem",
    "Note",
    "Result",
    "ResultSpec",
    "ShownFormula",
    "ShownInput",
    "Source",
    "Table",
    "calculate",
    "collect",
]
