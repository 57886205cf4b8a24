"""The notes of a shop folder, each from its own file: only files that changed are read again.

Records with problems are left out and counted; whoever is in the middle of a repair gets the others.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from kb.reading import read_record
from kb.reading.finding import SYNONYMS, bytes_of, record_files
from kb.records import Fault, Job, Model, Synonyms, Written
from kb.records.fields import is_identifier
from kb.search.faults import Instrument, Place
from kb.search.kept import State
from kb.search.notes import FaultNote, Notes
from kb.search.noting import fault_note, job_findings, model_note
from kb.shop import synonym_rules

Kept = dict[str, Any]
"""By file its stamp and its note in JSON; the note is None where the file has problems."""


@dataclass(frozen=True)
class Collected:
    """The notes of a shop, how many files were left out, and what is worth keeping for the next time."""

    notes: Notes
    left_out: int
    kept: Kept
    complete: bool
    """Whether every file could be opened; one that could not may be there the next time."""


def collect(root: Path, state: State, kept: Mapping[str, Any]) -> Collected:
    """The notes of the shop folder at `root`, those of unchanged files out of `kept`."""
    run = _Run(root, state, kept)
    models = tuple(_model(each) for each in run.notes("models", Model, _model_json))
    faults = tuple(_fault(each) for each in run.notes("faults", Fault, _fault_json))
    findings = tuple(fault for each in run.notes("jobs", Job, _job_json) for fault in each)
    synonyms = tuple(tuple(group) for group in run.synonyms())
    return Collected(Notes(faults, models, findings, synonyms), run.left_out, run.to_keep, run.complete)


class _Run:
    def __init__(self, root: Path, state: State, kept: Mapping[str, Any]) -> None:
        self.root = root
        self.state = state
        self.kept = kept
        self.to_keep: Kept = {}
        self.left_out = 0
        self.complete = True

    def notes(self, folder: str, kind: type[Written], note: Callable[[Any], Any]) -> Iterator[Any]:
        """What is kept of each record of one kind that has no problem."""
        paths, problems, _ = record_files(self.root, folder)
        self.left_out += len({problem.file for problem in problems})
        taken: set[str] = set()
        for path in paths:
            found = None
            if is_identifier(path.stem) and path.stem not in taken:
                taken.add(path.stem)
                found = self._note(path, kind, note)
            if found is None:
                self.left_out += 1
            else:
                yield found

    def synonyms(self) -> list[list[str]]:
        """The shop's own synonyms; none where they have problems."""
        path = self.root / SYNONYMS
        if SYNONYMS not in self.state.stamps:
            return []
        found = self._note(path, Synonyms, _synonyms_json)
        if found is None:
            self.left_out += 1
        return found or []

    def _note(self, path: Path, kind: type[Written], note: Callable[[Any], Any]) -> Any:
        file = path.relative_to(self.root).as_posix()
        stamp = list(self.state.stamps.get(file, ()))
        if file in self.kept and self.kept[file][0] == stamp:
            found = self.kept[file][1]
        else:
            try:
                data = bytes_of(path)
            except OSError:
                self.complete = False
                return None
            located, _ = read_record(data, file, path.stem, kind)
            found = None if located is None else note(located)
        if self.state.is_settled(file):
            self.to_keep[file] = [stamp, found]
        return found


def _fault_json(located: Any) -> Any:
    return list(asdict(fault_note(located, located.file)).values())


def _fault(written: list[Any]) -> FaultNote:
    identifier, path, title, symptoms, story, models, revisions, block, hazards, confirmed = written
    return FaultNote(
        identifier, path, title, tuple(symptoms), tuple(story), tuple(models),
        tuple((model, revision) for model, revision in revisions), block, tuple(hazards), confirmed,
    )  # fmt: skip


def _model_json(located: Any) -> Any:
    model = model_note(located)
    blocks = [[block.id, block.name, block.role, block.hazards] for block in model.blocks]
    return [model.id, model.name, model.revisions, blocks]


def _model(written: list[Any]) -> Instrument:
    identifier, name, revisions, blocks = written
    return Instrument(
        identifier,
        name,
        tuple((revision, tuple(tuple(each) for each in ranges)) for revision, ranges in revisions),
        tuple(Place(block, called, role, tuple(hazards)) for block, called, role, hazards in blocks),
    )


def _job_json(located: Any) -> Any:
    return list(job_findings(located))


def _synonyms_json(located: Any) -> Any:
    if any(synonym_rules.broken(located)):
        return None
    return [list(group) for group in located.record.groups]
