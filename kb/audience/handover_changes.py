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
from kb.records import Reading

Values = dict[str, Any]
_VERDICTS: Mapping[bool | None, Verdict] = {True: "holds", False: "fails", None: "not_judged"}


def changed_values(findings: Iterable[Values], fault: Callable[[Values], Values]) -> Iterator[ChangedPart]:
    """The values changed on this unit; those of a fault only where the job says they were changed so."""
    for finding in findings:
        of_fault = fault(finding)["values"] if finding["values_of_fault"] else ()
        for each in (*of_fault, *finding["values"]):
            yield ChangedPart(**handover_values(each))


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
