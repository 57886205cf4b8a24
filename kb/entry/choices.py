"""What a field that names something may name, as far as the shop's records can be read."""

from __future__ import annotations

from typing import Any

from kb.calculators.registry import CALCULATORS
from kb.reading import Folder


def choices_of(folder: Folder) -> dict[str, Any]:
    """Ids with what they are called; blocks, checks and revisions under their model."""
    models = {each.id: each.record for each in folder.models.values()}
    return {
        "model": {key: each.name for key, each in models.items()},
        "part": {each.id: each.record.name for each in folder.parts.values()},
        "fault": {each.id: each.record.title for each in folder.faults.values()},
        "block": {key: {block.id: block.name for block in each.blocks} for key, each in models.items()},
        "check": {key: {check.id: check.do for check in each.checks} for key, each in models.items()},
        "revision": {
            key: {one.id: one.name or one.id.upper() for one in each.revisions}
            for key, each in models.items()
        },
        "port": {
            f"{key}/{port.id}": port.name
            for key, each in models.items() for port in each.ports if port.direction == "in"
        },
        "photo": _files(folder, "photos/"),
        "capture": _files(folder, "captures/"),
        "calculator": sorted({*CALCULATORS, *folder.calculators}),
        "records": _records(folder),
    }  # fmt: skip


def _files(folder: Folder, under: str) -> dict[str, str]:
    return {name.removeprefix(under): "" for name in sorted(folder.data_files) if name.startswith(under)}


def _records(folder: Folder) -> dict[str, list[str]]:
    kinds = {"fault": "faults", "job": "jobs", "part": "parts", "model": "models", "guide": "guides"}
    lost = {
        kind: {name for at, name in folder.unreadable if at == place and name}
        for kind, place in kinds.items()
    }
    return {kind: sorted({*getattr(folder, place), *lost[kind]}) for kind, place in kinds.items()}
