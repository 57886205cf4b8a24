"""A dump as the files of a shop folder."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from kb.moving.dump import KINDS, plain
from kb.moving.dump_reading import Dump, Entry, NamedFile
from kb.moving.yaml_writing import record_text
from kb.reading import read_record
from kb.records import ShopCard, Synonyms, Written

Fetch = Callable[[NamedFile], bytes | None]


def unpacked(dump: Dump, fetch: Fetch) -> tuple[dict[str, bytes], tuple[NamedFile, ...]]:
    """Every file of the shop by path, and the files of the dump whose content nobody has.

    `fetch` is asked for the content of a file that the dump itself does not hold.
    """
    files = {entry.file: _written(entry, kind).encode() for entry, kind in _entries(dump)}
    missing: list[NamedFile] = []
    for each in dump.files:
        content = each.content if each.base64 is not None else fetch(each)
        if content is None:
            missing.append(each)
        else:
            files[each.name] = content
    return files, tuple(missing)


def _entries(dump: Dump) -> Iterator[tuple[Entry, type[Written]]]:
    yield dump.shop, ShopCard
    if dump.synonyms is not None:
        yield dump.synonyms, Synonyms
    for name, kind in KINDS.items():
        yield from ((entry, kind) for entry in dump.of(name))


def _written(entry: Entry, kind: type[Written]) -> str:
    """The text as it was, unless the record beside it says something else by now."""
    if entry.text is not None and _says(entry.text, entry.file, kind) == entry.record:
        return entry.text
    return record_text(kind, entry.record)


def _says(text: str, file: str, kind: type[Written]) -> Any:
    located, _ = read_record(text.encode(), file, "id", kind)
    return None if located is None else plain(located.record)
