"""JSON Schema of a dump, for programs that read or write one."""

from __future__ import annotations

from typing import Any

from pydantic.json_schema import models_json_schema

from kb.moving.dump import FORMAT, KINDS, VERSION
from kb.records import ShopCard, Synonyms, Written


def dump_schema() -> dict[str, Any]:
    """The schema; every kind of record is spelt out under `$defs`."""
    kinds: dict[str, type[Written]] = {"shop": ShopCard, "synonyms": Synonyms, **KINDS}
    references, defs = models_json_schema([(kind, "serialization") for kind in kinds.values()])
    of = {name: references[kind, "serialization"] for name, kind in kinds.items()}
    properties: dict[str, Any] = {
        "format": {"const": FORMAT},
        "version": {"const": VERSION},
        "shop": _entry(of["shop"]),
        "synonyms": _entry(of["synonyms"]),
        **{name: {"type": "array", "items": _entry(of[name], has_id=True)} for name in KINDS},
        "files": {"type": "array", "items": _FILE},
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": FORMAT,
        "type": "object",
        "properties": properties,
        "required": ["format", "version", "shop"],
        "additionalProperties": False,
        "$defs": defs["$defs"],
    }


_FILE: dict[str, Any] = {
    "description": "a picture, a capture or another file of the folder",
    "type": "object",
    "properties": {
        "name": {"type": "string", "description": "its path in the shop's folder"},
        "size": {"type": "integer", "minimum": 0, "description": "in bytes"},
        "sha256": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
        "base64": {"type": "string", "description": "its content, where the dump was made with it"},
    },
    "required": ["name", "size", "sha256"],
    "additionalProperties": False,
}


def _entry(record: dict[str, Any], *, has_id: bool = False) -> dict[str, Any]:
    text = "the file as it was written; read only where it says the same as record"
    found: dict[str, Any] = {
        "file": {"type": "string", "description": "its path in the shop's folder"},
        "record": record,
        "text": {"type": "string", "description": text},
    }
    if has_id:
        found = {"id": {"type": "string", "description": "the name of the file without its ending"}, **found}
    required = [name for name in found if name != "text"]
    return {"type": "object", "properties": found, "required": required, "additionalProperties": False}
