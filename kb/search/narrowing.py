"""Which faults are left when somebody says which instrument lies on the bench.

Faults of the unit itself come first. Behind them come faults of other models in a block that does the
same job; faults of the same model that sit on other revisions only are left out, because their cure
does not help here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from kb.search.postings import decode_numbers

HERE, ELSEWHERE = 1, 0
"""On the unit that was asked for, or in a block of the same kind in another model."""


@dataclass(frozen=True)
class Narrowing:
    """What the search is narrowed to; ids, or a serial number as typed."""

    model: str | None = None
    serial: str | None = None
    block: str | None = None
    hazard: str | None = None


@dataclass(frozen=True)
class Kind:
    """What faults share: their block, their models with revisions, both by number, and their hazards."""

    block: str
    on: Mapping[int, frozenset[int]]
    hazards: frozenset[int]


@dataclass(frozen=True)
class Table:
    """The table of the index of symptoms, read."""

    models: list[Any]
    hazards: list[Any]
    kinds: tuple[Kind, ...]
    codes: tuple[tuple[int, int], ...]
    """For each fault the number of its kind, and how often it was seen."""

    @classmethod
    def read(cls, written: Mapping[str, Any]) -> Table:
        """The table that the index carries."""
        numbers = decode_numbers(written["faults"])
        kinds = tuple(
            Kind(block, {model: frozenset(revisions) for model, revisions in on}, frozenset(hazards))
            for block, on, hazards in written["kinds"]
        )
        return cls(written["models"], written["hazards"], kinds, tuple(zip(numbers, numbers, strict=True)))

    @cached_property
    def roles(self) -> tuple[Mapping[str, str], ...]:
        """For each model the role of each block."""
        return tuple({block: role for block, _, role in model[3]} for model in self.models)


@dataclass(frozen=True)
class _Wanted:
    """A narrowing in numbers of the table."""

    units: Mapping[int, frozenset[int]] | None
    """Models with the revisions that count; None where any model will do."""

    block: str | None
    roles: frozenset[str]
    """What another model's block must do to be of the same kind."""

    hazard: int | None


def closeness(table: Table, narrowing: Narrowing) -> Callable[[int], int | None]:
    """HERE, ELSEWHERE or None for a fault by its number; what is not known narrows to nothing."""
    wanted = _wanted(table, narrowing)
    by_kind = [_closeness(table, kind, wanted) for kind in table.kinds]
    return lambda fault: by_kind[table.codes[fault][0]]


def units_of(table: Table, model: str | None, serial: str | None) -> Mapping[int, frozenset[int]]:
    """The models with the revisions that a model, a serial number or both leave."""
    found = {}
    for number, (identifier, _, revisions, _) in enumerate(table.models):
        if model is None or identifier == model:
            held = frozenset(
                place
                for place, (_, ranges) in enumerate(revisions)
                if serial is None or any(_holds(each, serial) for each in ranges)
            )
            if held or serial is None:
                found[number] = held
    return found


def _holds(written: list[Any], serial: str) -> bool:
    from kb.shop.serials import SerialRange  # noqa: PLC0415 - most searches have no serial number

    prefix, low, high = written
    return SerialRange(prefix, low, high, "").holds(serial)


def _wanted(table: Table, narrowing: Narrowing) -> _Wanted:
    hazards = [identifier for identifier, _ in table.hazards]
    hazard = None
    if narrowing.hazard is not None:
        hazard = hazards.index(narrowing.hazard) if narrowing.hazard in hazards else -1
    if narrowing.model is None and narrowing.serial is None:
        return _Wanted(None, narrowing.block, frozenset(), hazard)
    units = units_of(table, narrowing.model, narrowing.serial)
    roles = {role for number in units for role in _roles_of(table.roles[number], narrowing.block)}
    return _Wanted(units, narrowing.block, frozenset(roles), hazard)


def _roles_of(roles: Mapping[str, str], block: str | None) -> Iterable[str]:
    return (role for identifier, role in roles.items() if block in (None, identifier, role))


def _closeness(table: Table, kind: Kind, wanted: _Wanted) -> int | None:
    if wanted.hazard is not None and wanted.hazard not in kind.hazards:
        return None
    roles = {table.roles[number].get(kind.block, kind.block) for number in kind.on}
    if wanted.units is None:
        return HERE if wanted.block in (None, kind.block) or wanted.block in roles else None
    its_own = [number for number in kind.on if number in wanted.units]
    if its_own:
        on_unit = any(_meet(kind.on[number], wanted.units[number]) for number in its_own)
        of_block = wanted.block in (None, kind.block) or wanted.block in {
            table.roles[number].get(kind.block) for number in its_own
        }
        return HERE if on_unit and of_block else None
    return ELSEWHERE if roles & wanted.roles else None


def _meet(of_fault: frozenset[int], of_unit: frozenset[int]) -> bool:
    """Whether a revision is in both; a model without readable revisions counts as one."""
    return bool(of_fault & of_unit) or not (of_fault or of_unit)
