"""A shop as one JSON value: every record, its file's text, and the files that belong to them.

What each record says stands there as data for other programs, and its text as written beside it, so that
comments come back too. Nothing is left out and nothing is made up: no date, no path of the machine.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from kb.reading import Located
from kb.reading.finding import AS_IS, CARD, DATA_FOLDERS, FOLDERS, SYNONYMS, ordinary_files
from kb.reading.tree import decode
from kb.records import Written
from kb.shop import Shop

FORMAT = "halfsplit dump"
VERSION = 1

BESIDE_RECORDS = ("mkdocs.yml", "README.md", ".gitignore")
"""Files of the shop's folder that are no records and still are the shop's own."""

FILE_FOLDERS = (*DATA_FOLDERS, AS_IS)
KINDS: Mapping[str, type[Written]] = MappingProxyType(dict(FOLDERS))


def dump_of(shop: Shop, *, with_files: bool = False) -> dict[str, Any]:
    """Everything in the shop; with `with_files` also the content of its other files."""
    found: dict[str, Any] = {"format": FORMAT, "version": VERSION, "shop": _entry(shop.root, shop.card)}
    if (shop.root / SYNONYMS).is_file():
        groups = {"groups": [list(group) for group in shop.synonyms]}
        found["synonyms"] = {"file": SYNONYMS, "record": groups, "text": _text(shop.root, SYNONYMS)}
    for kind in KINDS:
        located: Iterable[Located[Any]] = getattr(shop, kind).values()
        found[kind] = [{"id": each.id, **_entry(shop.root, each)} for each in located]
    found["files"] = [_file(shop.root, name, with_files) for name in _names(shop)]
    return found


def dump_text(dump: Mapping[str, Any]) -> str:
    """The dump as JSON, the same for the same shop to the byte."""
    return json.dumps(dump, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def plain(record: Written) -> Any:
    """What a record says, as JSON: quantities as they were written, whatever was left out left out."""
    return record.model_dump(mode="json", exclude_unset=True)


def sha256(content: bytes) -> str:
    """By what a file is told from another of the same name."""
    return hashlib.sha256(content).hexdigest()


def _entry(root: Path, located: Located[Any]) -> dict[str, Any]:
    file = CARD if located.file == CARD else located.file
    return {"file": file, "record": plain(located.record), "text": _text(root, file)}


def _text(root: Path, file: str) -> str:
    return decode((root / file).read_bytes(), file)


def _names(shop: Shop) -> list[str]:
    beside = [name for name in BESIDE_RECORDS if (shop.root / name).is_file()]
    return [*beside, *sorted((*shop.data_files, *ordinary_files(shop.root, AS_IS)))]


def _file(root: Path, name: str, with_content: bool) -> dict[str, Any]:
    content = (root / name).read_bytes()
    found: dict[str, Any] = {"name": name, "size": len(content), "sha256": sha256(content)}
    if with_content:
        found["base64"] = base64.b64encode(content).decode("ascii")
    return found
