"""A shop folder on disk to located records: every file is read, every problem of all files is kept."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from kb.problems import Problem, Problems
from kb.reading.finding import (
    CARD,
    FOLDERS,
    SYNONYMS,
    bytes_of,
    data_files,
    files_under,
    misnamed,
    missing_card,
)
from kb.reading.format_number import unknown_format
from kb.reading.kept_records import KeptRecords
from kb.reading.located import Located
from kb.reading.record import read_record
from kb.records import Fault, Guide, Job, Model, OwnCalculator, Part, ShopCard, Synonyms, Written
from kb.records.fields import is_identifier, suggested_identifier
from kb.records.shop import FORMAT

__all__ = ["CARD", "FOLDERS", "Folder", "read_folder", "read_guides", "read_own_calculators"]

RecordType = TypeVar("RecordType", bound=Written)


@dataclass(frozen=True)
class Folder:
    """What stands in a shop folder, by kind and id; not yet checked against each other."""

    root: Path
    card: Located[ShopCard] | None
    models: Mapping[str, Located[Model]]
    faults: Mapping[str, Located[Fault]]
    parts: Mapping[str, Located[Part]]
    guides: Mapping[str, Located[Guide]]
    jobs: Mapping[str, Located[Job]]
    calculators: Mapping[str, Located[OwnCalculator]]
    data_files: frozenset[str]
    unreadable: frozenset[tuple[str, str]]
    """(folder, id) of the records whose file has problems, so that links to them are not called dangling."""
    synonyms: Located[Synonyms] | None = None


def read_folder(root: Path, kept: KeptRecords | None = None) -> tuple[Folder, tuple[Problem, ...]]:
    """Every record under `root`, and every problem found while reading; none of a format of tomorrow."""
    run = _Run(root, kept)
    card = run.card()
    # A sound card tells its format itself.
    if card is None or not 1 <= card.record.format <= FORMAT:
        unknown = unknown_format(root)
        if unknown is not None:
            return Folder(root, None, {}, {}, {}, {}, {}, {}, frozenset(), frozenset()), (unknown,)
    folder = Folder(
        root=root,
        card=card,
        models=run.kind("models", Model),
        faults=run.kind("faults", Fault),
        parts=run.kind("parts", Part),
        guides=run.kind("guides", Guide),
        jobs=run.kind("jobs", Job),
        calculators=run.kind("calculators", OwnCalculator),
        data_files=data_files(root),
        unreadable=frozenset(run.unreadable),
        synonyms=run.synonyms(),
    )
    run.problems.extend(misnamed(root))
    return folder, tuple(run.problems)


def read_guides(
    root: Path, label: str, kept: KeptRecords | None = None
) -> tuple[Mapping[str, Located[Guide]], tuple[Problem, ...]]:
    """Every Markdown page directly in `root`; problems name its files as if they lay in `label`."""
    run = _Run(root, kept)
    found = run.files([path.name for path in sorted(root.glob("*.md"))], label, Guide, root)
    return found, tuple(run.problems)


def read_own_calculators(root: Path) -> tuple[Mapping[str, Located[OwnCalculator]], tuple[Problem, ...]]:
    """Only the shop's own calculators, for a command that needs nothing else of the shop."""
    run = _Run(root)
    return run.kind("calculators", OwnCalculator), tuple(run.problems)


class _Run:
    """One reading of one folder, with what was found wrong so far."""

    def __init__(self, root: Path, kept: KeptRecords | None = None) -> None:
        self.root = root
        self.kept = kept
        self.problems = Problems()
        self.unreadable: set[tuple[str, str]] = set()

    def card(self) -> Located[ShopCard] | None:
        try:
            data = bytes_of(self.root / CARD)
        except OSError as error:
            self.problems.add(missing_card(self.root, error.strerror))
            return None
        card, found = read_record(data, CARD, "shop", ShopCard, self.kept)
        self.problems.extend(found)
        return card

    def synonyms(self) -> Located[Synonyms] | None:
        """The shop's own synonyms, which it need not have."""
        path = self.root / SYNONYMS
        return self._record(str(path), SYNONYMS, path.stem, Synonyms) if os.path.lexists(path) else None

    def kind(self, folder: str, kind: type[RecordType]) -> Mapping[str, Located[RecordType]]:
        files, problems, lost = files_under(self.root, folder)
        self.problems.extend(problems)
        self.unreadable.update((folder, identifier) for identifier in lost)
        names = [file.removeprefix(f"{folder}/") for file in files]
        return self.files(names, folder, kind, self.root / folder)

    def files(
        self, names: list[str], label: str, kind: type[RecordType], base: Path
    ) -> Mapping[str, Located[RecordType]]:
        """The records in files of one folder; `names` are from there, with / between."""
        found: dict[str, Located[RecordType]] = {}
        taken: dict[str, str] = {}
        before = f"{base}/"
        for name in names:
            file = f"{label}/{name}"
            # By hand: a thousand paths as objects take longer than the reading of a thousand files.
            identifier, _, ending = name.rpartition("/")[2].rpartition(".")
            if not self._has_own_id(identifier, f".{ending}", file, label, taken):
                continue
            record = self._record(before + name, file, identifier, kind)
            if record is None:
                self.unreadable.add((label, identifier))
            else:
                found[identifier] = record
        return MappingProxyType(found)

    def _has_own_id(self, identifier: str, ending: str, file: str, label: str, taken: dict[str, str]) -> bool:
        """Whether the file's name is an id that no earlier file has, whatever else is wrong in it."""
        if not is_identifier(identifier):
            suggested = suggested_identifier(identifier)
            what = f'the file name "{identifier}{ending}" cannot be an id'
            advice = f'small letters, digits and single hyphens, for example "{suggested}{ending}"'
            self.problems.add(Problem(file, 1, 1, what, advice))
            self.unreadable.add((label, suggested))
            return False
        if identifier in taken:
            what = f'the id "{identifier}" is taken by {taken[identifier]}'
            self.problems.add(Problem(file, 1, 1, what, "give one of the two files another name"))
            return False
        taken[identifier] = file
        return True

    def _record(
        self, path: str, file: str, identifier: str, kind: type[RecordType]
    ) -> Located[RecordType] | None:
        try:
            data = bytes_of(path)
        except OSError as error:
            what = f"the file cannot be read ({error.strerror})"
            self.problems.add(Problem(file, 1, 1, what, "check its rights"))
            return None
        record, found = read_record(data, file, identifier, kind, self.kept)
        self.problems.extend(found)
        return record
