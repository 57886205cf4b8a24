"""Which files of a shop folder are records, and which look like one that would be passed over in silence."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from types import MappingProxyType

from kb.problems import Problem, did_you_mean
from kb.reading.tree import LARGEST_FILE
from kb.records import Fault, Guide, Job, Model, OwnCalculator, Part, Written
from kb.records.fields import suggested_identifier

CARD = "shop.yml"
SYNONYMS = "synonyms.yml"
FOLDERS: Mapping[str, type[Written]] = MappingProxyType(
    {
        "models": Model,
        "faults": Fault,
        "parts": Part,
        "guides": Guide,
        "jobs": Job,
        "calculators": OwnCalculator,
    }
)
DATA_FOLDERS = ("captures", "photos")

ANY_ID = ""
"""Stands for the ids of a folder that cannot be looked into."""

_FLAT = ("models", "parts", "calculators")
_NO_ADVICE_TO_READ = "a folder or file whose name begins with . or _ is left alone"


def record_files(root: Path, folder: str) -> tuple[list[Path], list[Problem], set[str]]:
    """The files of one kind, what keeps others from being read, and the ids those others may have had."""
    paths: list[Path] = []
    problems: list[Problem] = []
    lost: set[str] = set()
    for path, found in _entries(root, folder):
        problem = found or _misplaced(path, root, folder)
        if problem is None:
            paths.append(path)
        else:
            problems.append(problem)
            lost.add(suggested_identifier(path.stem) if found is None else ANY_ID)
    return sorted(paths), problems, lost


def bytes_of(path: Path) -> bytes:
    """What a file holds, up to one byte more than is read of any; OSError when it cannot be read."""
    if path.exists() and not path.is_file():
        raise OSError(0, "it is no ordinary file")
    with path.open("rb") as file:
        return file.read(LARGEST_FILE + 1)


def data_files(root: Path) -> frozenset[str]:
    """The pictures and captures there are, as `photos/name`."""
    return frozenset(
        path.relative_to(root).as_posix()
        for folder in DATA_FOLDERS
        for path in (root / folder).glob("**/*")
        if path.is_file()
    )


def misnamed(root: Path) -> Iterator[Problem]:
    """A folder that is nearly one of ours would otherwise be passed over in silence."""
    known = (*FOLDERS, *DATA_FOLDERS)
    for path in sorted(root.iterdir()):
        if path.is_dir() and path.name not in known and not path.name.startswith((".", "_")):
            advice = did_you_mean(path.name, known)
            if advice.startswith("did you mean"):
                what = "this folder is not read"
                yield Problem(f"{path.name}/", 1, 1, what, f"{advice} {_NO_ADVICE_TO_READ}")
        if path.stem.lower() in ("synonym", "synonyms") and path.name != SYNONYMS and path.is_file():
            yield Problem(path.name, 1, 1, "this file is not read", f'rename it to "{SYNONYMS}"')


def missing_card(root: Path, reason: str | None) -> Problem:
    """What is said when the shop's own file is not there; a near miss is named."""
    names = [path.name for path in root.iterdir() if path.is_file() and path.suffix in (".yml", ".yaml")]
    if (root / CARD).exists():
        return Problem(CARD, 1, 1, f"the file cannot be read ({reason})", "check its rights")
    near = did_you_mean(CARD, names)
    advice = (
        f'rename "{near.split(chr(34))[1]}"'
        if near.startswith("did")
        else "halfsplit start writes a first one"
    )
    return Problem(CARD, 1, 1, f"{CARD} is missing", advice)


def _entries(root: Path, folder: str) -> Iterator[tuple[Path, Problem | None]]:
    """Every file under a folder, and every folder that cannot be looked into, in an order of names alone."""
    refused: list[OSError] = []
    for place, folders, names in os.walk(root / folder, onerror=refused.append):
        folders[:] = sorted(name for name in folders if not _is_left_alone(name))
        for name in folders:
            path = Path(place) / name
            if path.is_symlink():
                file = path.relative_to(root).as_posix()
                yield (
                    path,
                    Problem(f"{file}/", 1, 1, "a link to a folder is not read", "put the folder itself here"),
                )
        yield from ((Path(place) / name, None) for name in sorted(names) if not _is_left_alone(name))
    for error in refused:
        path = Path(error.filename)
        if path != root / folder or not isinstance(error, FileNotFoundError):
            what = f"the folder cannot be read ({error.strerror})"
            file = path.relative_to(root).as_posix()
            yield path, Problem(f"{file}/", 1, 1, what, "it must be a folder that you may open")


def _is_left_alone(name: str) -> bool:
    return name.startswith((".", "_")) or name.endswith("~") or name.lower().startswith("readme")


def _misplaced(path: Path, root: Path, folder: str) -> Problem | None:
    endings: Iterable[str] = (".md",) if FOLDERS[folder] is Guide else (".yml", ".yaml")
    file = path.relative_to(root).as_posix()
    if path.suffix not in endings:
        what = f'"{path.name}" is not read'
        return Problem(file, 1, 1, what, f"a record here ends in {' or '.join(endings)}")
    if folder in _FLAT and path.parent != root / folder:
        what = "records of this kind lie in one folder, without folders in it"
        return Problem(file, 1, 1, what, f"move it to {folder}/{path.name}")
    return None
