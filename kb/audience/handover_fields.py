"""Which fields go home with a unit: one table, read by everything that makes a report for its owner.

A field that is not listed has no influence on any report, of its own job or of another. The table of the
customers' site (`kb.audience.fields`) is another one: what an owner may read of the own unit, others may not.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any

from kb.records import (
    Block,
    ChangedValue,
    Check,
    Fault,
    Finding,
    Job,
    Model,
    Part,
    Reading,
    ShopCard,
    Supply,
    Written,
)
from kb.records.job import CheckOutcome, EarlierWork, FinalTest, Picture, UsedPart
from kb.records.trim import Calibration, Trim, TrimResult

_LISTED: Mapping[type[Written], str] = {
    # What was written down about this unit. The notes, the minutes and whether a cure held stay in the shop.
    Job: "model serial received returned customer complaint arrival earlier_work findings parts trims "
    "final_tests photos cautions advice",
    Finding: "fault checks before after values values_of_fault told done",
    CheckOutcome: "check outcome reading",
    EarlierWork: "found decision why",
    UsedPart: "part where value quantity",
    ChangedValue: "what was now",
    TrimResult: "trim before after",
    FinalTest: "check reading outcome",
    Picture: "file shows",
    # Of the records that it names: what they are called, what is good, and what can hurt.
    ShopCard: "name place local_code",
    Model: "name maker kind hazards supply blocks checks calibration",
    Supply: "mains reservoirs",
    Block: "id hazards",
    Check: "id called block do good hazards",
    Calibration: "trims",
    Trim: "id name trimmer block good hazards",
    # Its values only where the job says that they were changed so on this unit.
    Fault: "title block values hazards",
    Part: "name hazards",
    Reading: "text span",
}

HANDOVER_FIELDS: Mapping[type[Written], frozenset[str]] = MappingProxyType(
    {kind: frozenset(names.split()) for kind, names in _LISTED.items()}
)
"""The fields that a report may show or be decided by; of the supply only whether there is one."""


def goes_home(kind: type[Written], field: str) -> bool:
    """Whether a field may go into a report; one that the table does not know may not."""
    return field in HANDOVER_FIELDS.get(kind, frozenset())


def handover_values(record: Written) -> dict[str, Any]:
    """The fields of a record that may go into a report, and nothing else of it."""
    return {name: getattr(record, name) for name in _names_of(type(record))}


@cache
def _names_of(kind: type[Written]) -> tuple[str, ...]:
    return tuple(name for name in kind.model_fields if goes_home(kind, name))
