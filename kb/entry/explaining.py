"""What `halfsplit new` says above each field, so that the form says the same."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import resources

_KEY = re.compile(r"(?P<indent>\s*)(?P<item>-\s+)?(?P<key>[a-z_]+):(?:\s|\Z)")


@cache
def explanations(kind: str) -> Mapping[str, str]:
    """The explanation of each field of a kind, by its path such as `checks.reads`."""
    ending = "md" if kind == "guide" else "yml"
    text = resources.files("kb.cli").joinpath("records", f"{kind}.{ending}.jinja").read_text("utf-8")
    return dict(_told(text.splitlines()))


def _told(lines: list[str]) -> Iterator[tuple[str, str]]:
    said: list[str] = []
    around: list[tuple[int, str]] = []
    for line in lines:
        if line.startswith("##"):
            said.append(line[2:].strip())
            continue
        if line.startswith("{") or "---" in line:
            continue
        found = _KEY.match(line.removeprefix("#"))
        if found is None:
            said = [] if not line.strip() else said
            continue
        depth = len(found["indent"]) + len(found["item"] or "")
        around = [each for each in around if each[0] < depth]
        around.append((depth, found["key"]))
        # The head of the file speaks of the file, not of its first key.
        if said and "Lines with two hashes" not in " ".join(said):
            yield ".".join(key for _, key in around), " ".join(said)
        said = []
