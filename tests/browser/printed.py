"""A tagged PDF as far as the tests need it: which sheets the rows of its tables stand on, and their sizes.

Tags are read by the rules of ISO 32000-1, 14.7: a structure element names its kind under /S, its children
under /K, and the page of its own text under /Pg.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

_OBJECT = re.compile(rb"(?:\A|\n)([0-9]+) 0 obj\s*(<<.*?>>)\s*(?:endobj|stream)", re.DOTALL)


@dataclass
class Printed:
    """One PDF that Chromium made."""

    pdf: bytes
    objects: dict[int, bytes] = field(init=False)

    def __post_init__(self) -> None:
        self.objects = {int(number): body for number, body in _OBJECT.findall(self.pdf)}

    @property
    def sheets(self) -> list[int]:
        """The objects of the pages."""
        return [number for number, body in self.objects.items() if re.search(rb"/Type /Page\b", body)]

    @property
    def sizes_pt(self) -> set[tuple[int, int]]:
        """Width and height of the sheets."""
        found = re.findall(rb"/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]", self.pdf)
        return {(round(float(width)), round(float(height))) for width, height in found}

    @property
    def tables(self) -> list[list[set[int]]]:
        """For each row of each table, its head first, the sheets that its text stands on."""
        return [
            [self._sheets(row) for row in self._below(self.objects[table]) if self._kind(row) == "TR"]
            for table in self.objects if self._kind(table) == "Table"
        ]  # fmt: skip

    def _kind(self, number: int) -> str:
        found = re.search(rb"/Type /StructElem\s*/S /(\w+)", self.objects.get(number, b""))
        return found[1].decode() if found else ""

    def _below(self, body: bytes) -> list[int]:
        children = re.search(rb"/K (\[.*\]|[0-9]+ 0 R)", body, re.DOTALL)
        return [int(each) for each in re.findall(rb"([0-9]+) 0 R", children[1])] if children else []

    def _sheets(self, number: int) -> set[int]:
        return set(self._sheets_of(number))

    def _sheets_of(self, number: int) -> Iterator[int]:
        body = self.objects[number]
        page = re.search(rb"/Pg ([0-9]+) 0 R", body)
        children = re.search(rb"/K (\[.*\]|[0-9]+ 0 R|[0-9]+)", body, re.DOTALL)
        text = children[1] if children else b""
        below = [int(each) for each in re.findall(rb"([0-9]+) 0 R", re.sub(rb"/Pg [0-9]+ 0 R", b"", text))]
        yield from (int(each) for each in re.findall(rb"/Pg ([0-9]+) 0 R", text))
        if page and re.search(rb"(?<![0-9])[0-9]+(?! 0 R)(?=[\s\]]|\Z)", re.sub(rb"[0-9]+ 0 R", b"", text)):
            yield int(page[1])
        for each in below:
            if self._kind(each):
                yield from self._sheets_of(each)
