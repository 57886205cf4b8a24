"""What the search keeps of each record, and how faults and models are put together from that.

A note holds texts and nothing of another record, so that it stays good until its own file changes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from kb.search.faults import FoundFault, Instrument, Place


@dataclass(frozen=True)
class FaultNote:
    """A fault by itself; `revisions` are (model or None for any of its models, revision)."""

    id: str
    path: str
    title: str
    symptoms: tuple[str, ...]
    story: tuple[str, ...]
    models: tuple[str, ...]
    revisions: tuple[tuple[str | None, str], ...]
    block: str
    hazards: tuple[str, ...]
    confirmed: bool


@dataclass(frozen=True)
class Notes:
    """All notes of a shop; `findings` has each fault once for each job that found it."""

    faults: tuple[FaultNote, ...]
    models: tuple[Instrument, ...]
    findings: tuple[str, ...]
    synonyms: tuple[tuple[str, ...], ...]


def found_faults(notes: Notes) -> Iterator[FoundFault]:
    """The faults as the search knows them; a model or block that cannot be read is passed over."""
    models = {model.id: model for model in notes.models}
    seen = Counter(notes.findings)
    for note in notes.faults:
        known = [models.get(model, Instrument(model, model)) for model in note.models]
        blocks = [block for model in known for block in model.blocks if block.id == note.block]
        yield FoundFault(
            note.id, note.path, note.title, note.symptoms, note.story,
            tuple((model.id, _revisions(note, model)) for model in known),
            note.block, _hazards(note, blocks), seen[note.id], note.confirmed,
        )  # fmt: skip


def _revisions(note: FaultNote, model: Instrument) -> tuple[str, ...]:
    """The revisions of one model that a fault is on: all of them where it names none."""
    named = [identifier for of, identifier in note.revisions if of in (model.id, None)]
    return tuple(identifier for identifier, _ in model.revisions if not named or identifier in named)


def _hazards(note: FaultNote, blocks: Iterable[Place]) -> tuple[str, ...]:
    return tuple(sorted({*note.hazards, *(hazard for block in blocks for hazard in block.hazards)}))
