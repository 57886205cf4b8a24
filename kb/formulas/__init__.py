"""Formulas: parsed once, evaluated, checked for dimension and shown from one and the same tree."""

from __future__ import annotations

from kb.formulas.dimensions import DIMENSION_OF, Dimension
from kb.formulas.errors import FormulaError
from kb.formulas.expression import Expression

__all__ = ["DIMENSION_OF", "Dimension", "Expression", "FormulaError"]
