"""A shop folder on disk to located records: every file is read, every problem of all files is kept."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from kb.problems import Problem, Problems, did_you_mean
from kb.reading.front_matter import split_front_matter
from kb.reading.located import Located
from kb.reading.tree import UnreadableYaml, decode, read_tree
from kb.reading.validate import validate
from kb.records import Fault, Guide, GuideHead, Job, Model, Part, ShopCard, Written
from kb.records.fields import IDENTIFIER

RecordType = TypeVar("RecordType", bound=Written)

CARD = "shop.yml"
FOLDERS: Mapping[str, type[Written]] = MappingProxyType(
    {"models": Model, "faults": Fault, "parts": Part, "guides": Guide, "jobs": Job}
)
DATA_FOLDERS = ("captures", "photos")


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
    data_files: frozenset[str]
    unreadable: frozenset[tuple[str, str]]
    """(folder, id) of the records whose file has problems, so that links to them are not called dangling."""


def read_folder(root: Path) -> tuple[Folder, tuple[Problem, ...]]:
    """Every record under `root`, and every problem found while reading."""
    problems = Problems()
    unreadable: set[tuple[str, str]] = set()
    kinds: dict[str, dict[str, Located[Written]]] = {}
    for folder, kind in FOLDERS.items():
        kinds[folder] = _read_kind(root, folder, kind, problems, unreadable)
    card = _read_card(root, problems)
    problems.extend(_misnamed_folders(root))
    folder = Folder(
        root, card, *(MappingProxyType(kinds[name]) for name in FOLDERS),  # type: ignore[arg-type]
        _data_files(root), frozenset(unreadable),
    )  # fmt: skip
    return folder, tuple(problems)


def read_guides(root: Path, label: str) -> tuple[dict[str, Located[Guide]], tuple[Problem, ...]]:
    """Every Markdown page under `root`; problems name files as `label`/…"""
    problems = Problems()
    found = _read_files(root, sorted(root.glob("*.md")), label, Guide, problems, set())
    return found, tuple(problems)


def read_record(
    data: bytes, file: str, identifier: str, kind: type[RecordType]
) -> tuple[Located[RecordType] | None, tuple[Problem, ...]]:
    """One record from the bytes of its file."""
    try:
        text = decode(data, file)
    except UnreadableYaml as stop:
        return None, (stop.problem,)
    if kind is Guide:
        return _read_guide(text, file, identifier)  # type: ignore[return-value]
    tree, problems = read_tree(text, file)
    if tree is None:
        return None, problems
    record, more = validate(tree, kind, file)
    if record is None or problems:
        return None, (*problems, *more)
    return Located(identifier, file, record, tree), ()


def _read_guide(text: str, file: str, identifier: str) -> tuple[Located[Guide] | None, tuple[Problem, ...]]:
    split, problems = split_front_matter(text, file)
    if split is None:
        return None, problems
    tree, problems = read_tree(split.head, file, split.head_place)
    if tree is None:
        return None, problems
    head, more = validate(tree, GuideHead, file)
    if not split.body.strip():
        more = (*more, Problem(file, split.body_line, 1, "the guide has no text", "write it under the head"))
    if head is None or problems or more:
        return None, (*problems, *more)
    return Located(identifier, file, Guide(head=head, body=split.body), tree, split.body_line), ()


def _read_card(root: Path, problems: Problems) -> Located[ShopCard] | None:
    path = root / CARD
    try:
        data = path.read_bytes()
    except OSError:
        what = f"{CARD} is missing or cannot be read"
        problems.add(Problem(CARD, 1, 1, what, "halfsplit start writes a first one"))
        return None
    card, found = read_record(data, CARD, "shop", ShopCard)
    problems.extend(found)
    return card


def _read_kind(
    root: Path, folder: str, kind: type[RecordType], problems: Problems, unreadable: set[tuple[str, str]]
) -> dict[str, Located[RecordType]]:
    paths = sorted(_record_files(root / folder, kind, root, problems))
    spoilt: set[str] = set()
    found = _read_files(root / folder, paths, folder, kind, problems, spoilt)
    unreadable.update((folder, identifier) for identifier in spoilt)
    return found


def _record_files(folder: Path, kind: type[Written], root: Path, problems: Problems) -> Iterator[Path]:
    endings = (".md",) if kind is Guide else (".yml", ".yaml")
    nested = kind not in (Model, Part)
    for place, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            path = Path(place) / name
            if name.startswith((".", "_")) or name.lower().startswith("readme"):
                continue
            file = path.relative_to(root).as_posix()
            if path.suffix not in endings:
                what = f'"{name}" is not read'
                problems.add(Problem(file, 1, 1, what, f"a record here ends in {endings[0]}"))
            elif not nested and path.parent != folder:
                what = "records of this kind lie in one folder, without folders in it"
                problems.add(Problem(file, 1, 1, what, f"move it to {folder.name}/{name}"))
            else:
                yield path


def _read_files(
    base: Path, paths: list[Path], label: str, kind: type[RecordType], problems: Problems, spoilt: set[str]
) -> dict[str, Located[RecordType]]:
    found: dict[str, Located[RecordType]] = {}
    for path in paths:
        file = f"{label}/{path.relative_to(base).as_posix()}"
        identifier = path.stem
        if not IDENTIFIER.match(identifier):
            what = f'the file name "{path.name}" cannot be an id'
            problems.add(Problem(file, 1, 1, what, "small letters, digits and single hyphens"))
            continue
        try:
            data = path.read_bytes()
        except OSError as error:
            problems.add(Problem(file, 1, 1, f"the file cannot be read ({error.strerror})", "check its rights"))
            spoilt.add(identifier)
            continue
        record, more = read_record(data, file, identifier, kind)
        problems.extend(more)
        if record is None:
            spoilt.add(identifier)
        elif identifier in found:
            what = f'the id "{identifier}" is taken by {found[identifier].file}'
            problems.add(Problem(file, 1, 1, what, "give one of the two files another name"))
        else:
            found[identifier] = record
    return found


def _data_files(root: Path) -> frozenset[str]:
    """The pictures and captures there are, as `photos/name`."""
    return frozenset(
        path.relative_to(root).as_posix()
        for folder in DATA_FOLDERS
        for path in (root / folder).glob("**/*")
        if path.is_file()
    )


def _misnamed_folders(root: Path) -> Iterator[Problem]:
    """A folder that is nearly one of ours would otherwise be passed over in silence."""
    known = (*FOLDERS, *DATA_FOLDERS)
    for path in sorted(root.iterdir()) if root.is_dir() else ():
        if path.is_dir() and path.name not in known and not path.name.startswith("."):
            advice = did_you_mean(path.name, known)
            if advice.startswith("did you mean"):
                yield Problem(f"{path.name}/", 1, 1, "this folder is not read", advice)
