"""What the columns of a table mean: told by the words of the head, or by whoever loads it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kb.problems import did_you_mean
from kb.wording.folding import fold

FIELDS: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "title": ("title", "headline", "subject"),
    "model": ("model", "instrument", "unit", "machine", "device", "equipment"),
    "revision": ("revision", "rev", "version", "series"),
    "serial": ("serial", "serial number", "serial no", "sn", "s n"),
    "block": ("block", "section", "stage", "board", "area", "circuit"),
    "symptom": ("symptom", "complaint", "problem", "fault", "fault description", "reported fault",
                "what it does", "what the customer said", "customer says"),
    "cause": ("cause", "reason", "diagnosis", "root cause", "finding", "found", "what it was",
              "what was wrong", "what i found", "what we found"),
    "fix": ("fix", "cure", "repair", "solution", "remedy", "work", "work done", "done",
            "action", "action taken", "what i did", "what we did", "what was done"),
    "parts": ("parts", "part", "parts used", "components", "replaced"),
    "minutes": ("minutes", "min", "mins", "time", "time spent", "duration", "labour"),
    "hours": ("hours", "hrs", "h"),
    "date": ("date", "day", "recorded", "date of repair"),
    "notes": ("notes", "note", "remarks", "remark", "comments", "comment"),
})  # fmt: skip
"""Each field of a row with the words that stand for it in a head."""

SEVERAL = ("symptom", "fix", "parts", "notes")
"""Fields that more than one column may give."""

LEFT_BY_US = "not loaded because"
"""The column that `--rest` adds, which is passed over when the rest is loaded."""


@dataclass(frozen=True)
class Columns:
    """The field of each column by number, and what was not understood."""

    fields: Mapping[int, str]
    unused: tuple[str, ...]
    doubts: tuple[str, ...]

    def cells(self, field: str, row: tuple[str, ...]) -> list[str]:
        """What the row says for a field, cell by cell."""
        return [row[at] for at, name in self.fields.items() if name == field and at < len(row) and row[at]]

    def of(self, field: str) -> list[int]:
        """The columns that give a field."""
        return [at for at, name in self.fields.items() if name == field]


def understood(head: tuple[str, ...], given: Iterable[str]) -> Columns:
    """The meaning of a head; `given` are texts such as `Column=field`, which go before its words."""
    said, doubts = _said(head, given)
    fields: dict[int, str] = {}
    for number, name in enumerate(head):
        field = said[name] if name in said else _by_words(name)
        if field is not None:
            fields[number] = field
    for field in FIELDS:
        meant = [head[at] for at, name in fields.items() if name == field]
        if len(meant) > 1 and field not in SEVERAL:
            names = " and ".join(f'"{each}"' for each in meant)
            doubts.append(f'the columns {names} both look like {field}; --map "{meant[1]}=notes" decides')
    unused = tuple(name for number, name in enumerate(head) if number not in fields and name != LEFT_BY_US)
    return Columns(MappingProxyType(fields), unused, tuple(doubts))


def _said(head: tuple[str, ...], given: Iterable[str]) -> tuple[dict[str, str | None], list[str]]:
    said: dict[str, str | None] = {}
    doubts = []
    for text in given:
        column, equals, field = (each.strip() for each in text.rpartition("="))
        if not equals or column not in head:
            doubts.append(f'--map "{text}": there is no column "{column}"; {did_you_mean(column, head)}')
        elif field not in (*FIELDS, "nothing"):
            advice = did_you_mean(field, (*FIELDS, "nothing"))
            doubts.append(f'--map "{text}": there is no field "{field}"; {advice}')
        else:
            said[column] = None if field == "nothing" else field
    return said, doubts


def _by_words(name: str) -> str | None:
    """The field that a head's words stand for; what it adds in brackets, such as a unit, is not asked."""
    for text in (name, re.sub(r"[(\[].*?[)\]]", " ", name)):
        words = " ".join(re.findall(r"[^\W_]+", fold(text)))
        for field, known in FIELDS.items():
            if words in known or words.removesuffix("s") in known:
                return field
    return None
