"""What was set and which values were changed on a unit, for its owner and for whoever repairs it next.

Takes what `handover_values` lets through, and nothing else: no record comes in here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from kb.audience.handover import Adjustment, ChangedPart, Measured, Verdict
from kb.audience.handover_fields import handover_values
from kb.audience.handover_words import limits
from kb.diagnosis.judging import is_good
from kb.quantities import QuantityError
from kb.quantities.parsing import parse_any_quantity
from kb.records import Reading

Values = dict[str, Any]
_OF_PARTS = ("resistance", "capacitance", "inductance")
_VERDICTS: Mapping[bool | None, Verdict] = {True: "holds", False: "fails", None: "not_judged"}


def changed_values(findings: Iterable[Values], fault: Callable[[Values], Values]) -> Iterator[ChangedPart]:
    """The values changed on this unit; those of a fault only where the job says they were changed so."""
    for finding in findings:
        of_fault = fault(finding)["values"] if finding["values_of_fault"] else ()
        yield from _fitted(handover_values(each) for each in of_fault)
        yield from (ChangedPart(**handover_values(each)) for each in finding["values"])


def _fitted(values: Iterable[Values]) -> Iterator[ChangedPart]:
    """Of a fault's values the parts that it says to fit.

    What was read when the fault was met was read on another unit, and would be untrue of this one: a voltage
    or a time is left out, and what was there before counts only where it is a part's value and nothing more.
    """
    for each in values:
        if _dimension(each["now"]) in (*_OF_PARTS, None):
            was = each["was"] if _dimension(each["was"] or "") in _OF_PARTS else None
            yield ChangedPart(each["what"], was, each["now"])


def _dimension(text: str) -> str | None:
    try:
        return parse_any_quantity(text).dimension
    except QuantityError:
        return None


def trims_made(said: Values, model: Values) -> Iterator[tuple[Values, Values]]:
    """Each trim that the job tells of, in the model's order, with its result."""
    if model["calibration"] is None:
        return
    results = [handover_values(each) for each in said["trims"]]
    for trim in map(handover_values, handover_values(model["calibration"])["trims"]):
        yield from ((trim, each) for each in results if each["trim"] == trim["id"])


def adjustments(made: Iterable[tuple[Values, Values]]) -> Iterator[Adjustment]:
    """Each trim with its readings; one that was not turned has none after."""
    for trim, result in made:
        good: Reading = trim["good"]
        yield Adjustment(
            trim["name"], trim["trimmer"], limits(good),
            _read(result["before"], good), _read(result["after"], good),
        )  # fmt: skip


def _read(reading: Reading | None, good: Reading) -> Measured | None:
    """A reading judged by itself; words that are not those of the trim are not judged."""
    if reading is None:
        return None
    return Measured(reading.text, _VERDICTS[is_good(reading, good)])
