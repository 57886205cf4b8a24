"""Golden cases: what is done to a small sound shop, and the exact lines that come back.

A case is a YAML file of `tests/golden/problems`. `files` are written over `tests/golden/bench` (a text,
nothing to remove the file, `hex` bytes, `repeat` for a text too long to write out, or a `link`), `edits`
change texts of its files, and `problems` are all the lines there must be, in their order.
"""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).parent
BENCH = HERE / "bench"


@dataclass(frozen=True)
class Case:
    """One case; `statement` says in a line what it shows."""

    name: str
    statement: str
    files: dict[str, Any]
    edits: dict[str, dict[str, str]]
    problems: list[str]


def read_cases(folder: Path = HERE / "problems") -> list[Case]:
    """Every case, in the order of their names."""
    return [_read(path) for path in sorted(folder.glob("*.yml"))]


def lay_out(case: Case, folder: Path) -> Path:
    """The shop of a case, in a new folder under `folder`."""
    shop = folder / "shop"
    shutil.copytree(BENCH, shop)
    for name, changes in case.edits.items():
        text = (shop / name).read_text(encoding="utf-8")
        for old, new in changes.items():
            assert text.count(old) == 1, f"{case.name}: {old!r} stands {text.count(old)} times in {name}"
            text = text.replace(old, new)
        (shop / name).write_text(text, encoding="utf-8")
    for name, content in case.files.items():
        _write(shop / name, content)
    return shop


def _read(path: Path) -> Case:
    written = yaml.safe_load(path.read_text(encoding="utf-8"))
    unknown = set(written) - {"statement", "files", "edits", "problems"}
    assert not unknown, f"{path.name}: {unknown}"
    return Case(
        path.stem,
        written["statement"],
        written.get("files", {}),
        written.get("edits", {}),
        written["problems"],
    )


def _write(path: Path, content: Any) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    if content is None:
        path.unlink()
    elif isinstance(content, str):
        path.write_bytes(content.encode())
    elif "hex" in content:
        path.write_bytes(bytes.fromhex(content["hex"]))
    elif "link" in content:
        path.symlink_to(content["link"])
    else:
        repeated = content["repeat"] * content["times"]
        path.write_text(content.get("before", "") + repeated + content.get("after", ""), encoding="utf-8")
