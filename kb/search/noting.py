"""From records to notes. Here alone the search knows what a record looks like."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from kb.reading import Located
from kb.records import Block, Fault, Job, Model
from kb.safety import hazards, hazards_named
from kb.search.faults import Instrument, Place, Ranges
from kb.search.notes import FaultNote
from kb.shop.serials import UnreadableSerials, parse_serials
from kb.shop.shop import split_revision


def hazards_in(text: str) -> tuple[str, ...]:
    """The hazards that a text names, by id."""
    return tuple(each.hazard for each in hazards_named(text))


def fault_note(
    located: Located[Fault], path: str, named_in: Callable[[str], tuple[str, ...]] = hazards_in
) -> FaultNote:
    """What is kept of a fault that is found at `path`; `named_in` may know what `hazards_in` would find."""
    fault = located.record
    told = (fault.title, *fault.symptoms, fault.cause, *fault.fix)
    named = named_in("\n".join(told))
    revisions = tuple(split_revision(text, fault) for text in fault.revisions if text != "all")
    return FaultNote(
        located.id, path, fault.title, fault.symptoms, (fault.cause, *fault.fix),
        tuple(dict.fromkeys(fault.models)), revisions, fault.block,
        tuple(sorted({*fault.hazards, *named})), fault.confirmed,
    )  # fmt: skip


def model_note(located: Located[Model]) -> Instrument:
    """What is kept of a model."""
    model = located.record
    revisions = tuple((revision.id, _ranges(revision.serials)) for revision in model.revisions)
    return Instrument(located.id, model.name, revisions, tuple(_place(block) for block in model.blocks))


def job_findings(located: Located[Job]) -> tuple[str, ...]:
    """The faults that were found in a job, each once however many findings tell of it."""
    return tuple(dict.fromkeys(finding.fault for finding in located.record.findings))


def hazard_titles() -> dict[str, str]:
    """The titles of the hazards by id, in the order they are shown."""
    return {identifier: row.title for identifier, row in hazards().items()}


def _place(block: Block) -> Place:
    return Place(block.id, block.name, block.shared_role, block.hazards)


def _ranges(serials: Iterable[str]) -> Ranges:
    found = []
    for text in serials:
        try:
            each = parse_serials(text)
        except UnreadableSerials:
            continue  # `halfsplit check` tells it
        found.append((each.prefix, each.low, each.high))
    return tuple(found)
