"""What goes wrong with a formula: it can't be read, or it has no finite value for these numbers.

Raised for our own formulas and for numbers a person gave; the calculators turn the second kind into
advice, so a FormulaError never reaches a page.
"""

from __future__ import annotations


class FormulaError(ValueError):
    """A formula that can't be read, or that has no finite real value for the numbers put in."""
