"""Quantities as a technician writes them: read strictly, kept in SI, shown in engineering notation.

The unit library behind it is imported at the first conversion, so that importing this package costs nothing.
"""

from __future__ import annotations

from kb.quantities.dimensions import DIMENSIONS, unit_of
from kb.quantities.errors import QuantityError
from kb.quantities.parsing import parse_any_quantity, parse_quantity
from kb.quantities.quantity import Quantity, Span
from kb.quantities.showing import format_tolerance, show
from kb.quantities.spans import parse_any_span, parse_span

__all__ = [
    "DIMENSIONS",
    "Quantity",
    "QuantityError",
    "Span",
    "format_tolerance",
    "parse_any_quantity",
    "parse_any_span",
    "parse_quantity",
    "parse_span",
    "show",
    "unit_of",
]
