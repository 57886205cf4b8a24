"""A dump as a stranger may have written or changed it: taken apart, its names judged, nothing believed.

No name in it may lead out of the folder it is loaded into, and a file's content has to be what its sum says.
"""

from __future__ import annotations

import base64
import binascii
import json
from collections.abc import Iterator
from pathlib import PurePosixPath
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from kb.moving.dump import BESIDE_RECORDS, FILE_FOLDERS, FORMAT, KINDS, VERSION, sha256
from kb.problems import Problem
from kb.reading.finding import CARD, SYNONYMS
from kb.records import Guide
from kb.records.fields import is_identifier

_STRICT = ConfigDict(extra="forbid", frozen=True, strict=True)


class UnreadableDump(Exception):  # noqa: N818 - it says what it is
    """The file is no dump that can be read; holds what is wrong with it."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__("\n".join(map(str, problems)))
        self.problems = problems


class Entry(BaseModel):
    """One record: what it says, and the text of its file where the dump has it."""

    model_config = _STRICT
    file: str
    record: dict[str, Any]
    text: str | None = None


class NamedEntry(Entry):
    """A record that has an id."""

    id: str


class NamedFile(BaseModel):
    """A picture, a capture or another file that records name."""

    model_config = _STRICT
    name: str
    size: int = Field(ge=0)
    sha256: str = Field(pattern="^[0-9a-f]{64}$")
    base64: str | None = None

    @property
    def content(self) -> bytes | None:
        """What the file holds, where the dump has it; raises ValueError where that cannot be it."""
        if self.base64 is None:
            return None
        try:
            found = base64.b64decode(self.base64, validate=True)
        except binascii.Error:
            raise ValueError("its base64 cannot be read") from None
        if sha256(found) != self.sha256:
            raise ValueError("its content has another sum than its sha256")
        return found


class Dump(BaseModel):
    """A whole shop as it came."""

    model_config = _STRICT
    format: str
    version: int
    shop: Entry
    synonyms: Entry | None = None
    models: list[NamedEntry] = []
    faults: list[NamedEntry] = []
    parts: list[NamedEntry] = []
    guides: list[NamedEntry] = []
    jobs: list[NamedEntry] = []
    calculators: list[NamedEntry] = []
    files: list[NamedFile] = []

    def of(self, kind: str) -> list[NamedEntry]:
        """The records of one kind, by the name of its folder."""
        found: list[NamedEntry] = getattr(self, kind)
        return found


def read_dump(data: bytes, name: str) -> Dump:
    """The dump in the bytes of a file called `name`; raises UnreadableDump."""
    value = _json(data, name)
    if not isinstance(value, dict) or value.get("format") != FORMAT:
        advice = f'a dump begins with {{"format": "{FORMAT}"; halfsplit dump writes one'
        raise UnreadableDump(Problem(name, 1, 1, "this JSON is no dump of a shop", advice))
    if isinstance(value.get("version"), int) and value["version"] > VERSION:
        what = f"the dump has version {value['version']}; this halfsplit reads up to {VERSION}"
        raise UnreadableDump(Problem(name, 1, 1, what, "load it with a newer halfsplit"))
    try:
        dump = Dump.model_validate(value)
    except ValidationError as error:
        found = error.errors(include_url=False, include_input=False)
        raise UnreadableDump(*(_as_problem(name, each["loc"], each["msg"]) for each in found)) from None
    problems = tuple(_problems(dump, name))
    if problems:
        raise UnreadableDump(*problems)
    return dump


def _json(data: bytes, name: str) -> Any:
    try:
        return json.loads(data.decode("utf-8-sig"), object_pairs_hook=_once, parse_constant=_refused)
    except json.JSONDecodeError as error:
        raise UnreadableDump(
            Problem(name, error.lineno, error.colno, f"this is not JSON: {error.msg}")
        ) from None
    except RecursionError:
        raise UnreadableDump(Problem(name, 1, 1, "the JSON is nested too deep")) from None
    except ValueError as error:
        what = "the file is not UTF-8" if isinstance(error, UnicodeDecodeError) else str(error)
        raise UnreadableDump(Problem(name, 1, 1, what)) from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        names = [key for key, _ in pairs]
        twice = next(key for key in names if names.count(key) > 1)
        raise ValueError(f'the key "{twice[:40]}" stands twice in one object')
    return found


def _refused(word: str) -> Any:
    raise ValueError(f"{word} is no JSON")


def _as_problem(name: str, path: tuple[int | str, ...], what: str) -> Problem:
    place = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in path).lstrip(".")
    advice = "halfsplit schema dump tells what stands where"
    return Problem(name, 1, 1, f"{place}: {what[:1].lower()}{what[1:]}", advice)


def _problems(dump: Dump, name: str) -> Iterator[Problem]:
    """Names that a record or a file cannot have, and texts that are none."""
    taken: set[str] = set()
    for place, file, is_right in _names(dump):
        if not is_right:
            yield _as_problem(name, (place,), f'"{file[:80]}" is no place for it')
        elif file in taken:
            yield _as_problem(name, (place,), f'"{file[:80]}" stands in the dump a second time')
        taken.add(file)
    try:
        dump.model_dump_json()
    except ValueError:
        yield _as_problem(name, (), "it holds half of a character, which is no text")
    for number, each in enumerate(dump.files):
        try:
            _ = each.content
        except ValueError as error:
            yield _as_problem(name, ("files", number), str(error))


def _names(dump: Dump) -> Iterator[tuple[str, str, bool]]:
    yield "shop.file", dump.shop.file, dump.shop.file == CARD
    if dump.synonyms is not None:
        yield "synonyms.file", dump.synonyms.file, dump.synonyms.file == SYNONYMS
    for kind in KINDS:
        for number, each in enumerate(dump.of(kind)):
            yield f"{kind}[{number}].file", each.file, _is_place_of_record(each, kind)
    for number, file in enumerate(dump.files):
        yield f"files[{number}].name", file.name, _is_place_of_file(file.name)


def _is_place_of_record(entry: NamedEntry, kind: str) -> bool:
    endings = (".md",) if KINDS[kind] is Guide else (".yml", ".yaml")
    path = PurePosixPath(entry.file)
    return (
        _is_under(entry.file, (kind,))
        and path.stem == entry.id
        and is_identifier(entry.id)
        and path.suffix in endings
        and not any(part.startswith(("_", ".")) or part.endswith("~") for part in path.parts)
    )


def _is_place_of_file(name: str) -> bool:
    return name in BESIDE_RECORDS or _is_under(name, FILE_FOLDERS)


def _is_under(name: str, folders: tuple[str, ...]) -> bool:
    """Whether `name` is a plain relative path, the same on every system, into one of `folders`."""
    steps = name.split("/")
    return (
        len(steps) > 1
        and steps[0] in folders
        and all(step.strip(" .") and step.isprintable() for step in steps)
        and "\\" not in name
    )
