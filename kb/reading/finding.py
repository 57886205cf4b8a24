"""Which files of a shop folder are records, and which look like one that would be passed over in silence."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator, Mapping
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
AS_IS = "as-is"
"""Where the files of a shop that `halfsplit start` made lie which go into the site as they are."""

ANY_ID = ""
"""Stands for the ids of a folder that cannot be looked into."""

_AT_ONCE = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
"""A pipe is not waited for; it opens, and shows what it is."""

_PIECE = 1 << 16

_FLAT = ("models", "parts", "calculators")
_NO_ADVICE_TO_READ = "a folder or file whose name begins with . or _ is left alone"


def record_files(root: Path, folder: str) -> tuple[list[Path], list[Problem], set[str]]:
    """The files of one kind, what keeps others from being read, and the ids those others may have had."""
    files, problems, lost = files_under(root, folder)
    return [root / file for file in files], problems, lost


def files_under(root: Path, folder: str) -> tuple[list[str], list[Problem], set[str]]:
    """As `record_files`, with the files by their names from the shop folder, such as `faults/quiet.yml`."""
    files: list[str] = []
    problems: list[Problem] = []
    lost: set[str] = set()
    for file, found in _entries(root, folder):
        problem = found or _misplaced(file, folder)
        if problem is None:
            files.append(file)
        else:
            problems.append(problem)
            lost.add(suggested_identifier(Path(file).stem) if found is None else ANY_ID)
    return sorted(files, key=lambda each: each.split("/")), problems, lost


def bytes_of(path: Path | str) -> bytes:
    """What a file holds, up to one byte more than is read of any; OSError when it cannot be read."""
    try:
        handle = os.open(path, _AT_ONCE)
    except OSError:
        if Path(path).exists() and not Path(path).is_file():
            raise _no_file() from None
        raise
    try:
        return _bytes_behind(handle)
    finally:
        os.close(handle)


def _bytes_behind(handle: int) -> bytes:
    found = os.fstat(handle)
    if not stat.S_ISREG(found.st_mode):
        raise _no_file()
    data = os.read(handle, min(found.st_size, LARGEST_FILE) + 1)
    # The end is where nothing more comes; a file may grow meanwhile.
    while len(data) <= LARGEST_FILE and (more := os.read(handle, _PIECE)):
        data += more
    return data[: LARGEST_FILE + 1]


def _no_file() -> OSError:
    return OSError(0, "it is no ordinary file")


def data_files(root: Path) -> frozenset[str]:
    """The pictures and captures there are, as `photos/name`."""
    return frozenset(file for folder in DATA_FOLDERS for file in ordinary_files(root, folder))


def ordinary_files(root: Path, folder: str) -> Iterator[str]:
    """Every file under a folder; links to folders are not followed, and what cannot be read is left out."""
    try:
        with os.scandir(root / folder) as found:
            entries = list(found)
    except OSError:
        return
    for entry in entries:
        name = f"{folder}/{entry.name}"
        try:
            if entry.is_dir(follow_symlinks=False):
                yield from ordinary_files(root, name)
            elif entry.is_file():
                yield name
        except OSError:
            # A link that goes round is no file.
            continue


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


def _entries(root: Path, folder: str) -> Iterator[tuple[str, Problem | None]]:
    """Every file under a folder, and every folder that cannot be looked into, in an order of names alone."""
    refused: list[OSError] = []
    top = str(root / folder)
    for place, folders, names in os.walk(top, onerror=refused.append):
        under = folder + place[len(top) :].replace(os.sep, "/")
        folders[:] = sorted(name for name in folders if not _is_left_alone(name))
        for name in folders:
            file = f"{under}/{name}"
            if (Path(place) / name).is_symlink():
                what, advice = "a link to a folder is not read", "put the folder itself here"
                yield file, Problem(f"{file}/", 1, 1, what, advice)
        yield from ((f"{under}/{name}", None) for name in sorted(names) if not _is_left_alone(name))
    for error in refused:
        path = Path(error.filename)
        if path != root / folder or not isinstance(error, FileNotFoundError):
            what = f"the folder cannot be read ({error.strerror})"
            file = path.relative_to(root).as_posix()
            yield file, Problem(f"{file}/", 1, 1, what, "it must be a folder that you may open")


def _is_left_alone(name: str) -> bool:
    return name.startswith((".", "_")) or name.endswith("~") or name.lower().startswith("readme")


def _misplaced(file: str, folder: str) -> Problem | None:
    endings = (".md",) if FOLDERS[folder] is Guide else (".yml", ".yaml")
    name = file.rpartition("/")[2]
    if not name.endswith(endings):
        what = f'"{name}" is not read'
        return Problem(file, 1, 1, what, f"a record here ends in {' or '.join(endings)}")
    if folder in _FLAT and file.count("/") > 1:
        what = "records of this kind lie in one folder, without folders in it"
        return Problem(file, 1, 1, what, f"move it to {folder}/{name}")
    return None
