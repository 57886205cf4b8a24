"""Conversion to SI through pint and our own unit file, set up at the first conversion.

pint gets names from our own table only, never what a person wrote. Decimal arithmetic makes "4k7",
"4.7 kohm" and "4700 ohm" the same float to the last bit.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from kb.quantities.dimensions import dimension_named
from kb.quantities.spellings import UNITS, Unit

if TYPE_CHECKING:
    import pint


@dataclass(frozen=True)
class _Line:
    """value in SI = zero + scale * number: one line for every unit, degrees Celsius included."""

    zero: Decimal
    scale: Decimal


def to_si(number: Decimal, unit: Unit) -> Decimal:
    """Return `number` of `unit` in the SI unit of its dimension."""
    line = _line(unit.name, dimension_named(unit.dimension).base)
    return line.zero + line.scale * number


def difference_to_si(number: Decimal, unit: Unit) -> Decimal:
    """Return a difference of `number` in `unit`: 2 °C warmer is 2 K, whatever zero the scale has."""
    return _line(unit.name, dimension_named(unit.dimension).base).scale * number


@cache
def registry() -> pint.UnitRegistry[Any]:
    """Return the one registry, built from `units.txt` alone at first use."""
    # Imported here because it takes longer than the rest of this package together.
    from pint import UnitRegistry  # noqa: PLC0415

    lines = resources.files("kb.quantities").joinpath("units.txt").read_text(encoding="utf-8").splitlines()
    return UnitRegistry(lines, on_redefinition="raise", non_int_type=Decimal)


def worked_out() -> list[list[str]]:
    """The line of every unit as text, for `take` in a later run; none if pint would be imported for it."""
    names = {(unit.name, dimension_named(unit.dimension).base) for unit in UNITS.values()}
    if not registry.cache_info().currsize and not names <= _lines.keys():
        return []
    lines = {name: _line(*name) for name in sorted(names)}
    return [[*name, str(line.zero), str(line.scale)] for name, line in lines.items()]


def take(lines: Iterable[Sequence[str]]) -> None:
    """Convert by lines that an earlier run worked out, which saves the import of pint."""
    for name, base, zero, scale in lines:
        _lines.setdefault((name, base), _Line(Decimal(zero), Decimal(scale)))


_lines: dict[tuple[str, str], _Line] = {}


def _line(name: str, base: str) -> _Line:
    if (name, base) not in _lines:
        known = registry()
        zero, one = (Decimal(known.Quantity(Decimal(number), name).to(base).magnitude) for number in (0, 1))
        _lines[name, base] = _Line(zero, one - zero)
    return _lines[name, base]
