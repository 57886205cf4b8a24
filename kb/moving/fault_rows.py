"""Rows of a table as drafts of faults: what is sure becomes a record, everything else a reason why not.

Texts of cells stay texts: nothing in them is taken for YAML or Markdown.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from kb.moving.cell_values import Doubtful, date_of, minutes_of, order_of_dates
from kb.moving.columns import Columns
from kb.moving.naming import key_words, meant, names_of_block, names_of_model, names_of_part
from kb.moving.plain_prose import as_prose
from kb.moving.table_reading import Row, Table
from kb.moving.yaml_writing import record_text
from kb.reading import Folder, read_record
from kb.records import Fault
from kb.records.fields import suggested_identifier
from kb.shop import fault_rules
from kb.shop.references import References
from kb.shop.symptoms import Words, words_of

_LONGEST_NAME = 60
_STEP = re.compile(r"\s*(?:[0-9]{1,2}[.)]|[-*•])\s+")
_ONLY_SUSPECTED = re.compile(
    r"\?|\b(?:probably|maybe|perhaps|possibly|suspect(?:ed)?|presumably)\b", re.IGNORECASE
)


@dataclass(frozen=True)
class Draft:
    """A row that is sure: the record's id, its file and the text of it."""

    row: int
    id: str
    file: str
    text: str
    title: str


@dataclass(frozen=True)
class Left:
    """A row for a person, with every reason."""

    row: Row
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Given:
    """What whoever loads the table says of every row that does not say it itself."""

    model: str | None = None
    block: str | None = None
    revisions: str | None = None


@dataclass(frozen=True)
class _Found:
    """What a row says, in the making: `says` is the record, `doubts` what keeps it from being one."""

    says: dict[str, Any]
    doubts: list[str]


class FaultRows:
    """The rows of one table, held against one shop."""

    def __init__(self, table: Table, columns: Columns, folder: Folder, given: Given) -> None:
        self.table, self.columns, self.folder, self.given = table, columns, folder, given
        self._taken = {*folder.faults, *(name for kind, name in folder.unreadable if kind == "faults")}
        self._known: dict[tuple[str, Words], str] = {}
        for fault in folder.faults.values():
            self._remember(fault.record, f'the fault "{fault.id}"')

    def sorted_out(self) -> Iterator[Draft | Left]:
        """Each row as a draft, or with the reasons why it is none."""
        for row in self.table.rows:
            yield self._judged(row)

    @cached_property
    def references(self) -> References:
        """What a draft may name."""
        return References(self.folder)

    @cached_property
    def _order(self) -> str | None:
        return order_of_dates(
            cell for row in self.table.rows for cell in self.columns.cells("date", row.cells)
        )

    def _judged(self, row: Row) -> Draft | Left:
        if len(row.cells) != len(self.table.head):
            what = f"the row has {len(row.cells)} cells and the head {len(self.table.head)}"
            return Left(row, (f"{what}; put quotes round a text that holds a separator",))
        found = self._read(row)
        if found.doubts:
            return Left(row, tuple(found.doubts))
        identifier = self._free_id(found.says["title"])
        draft = self._draft(row, identifier, found.says)
        located, problems = read_record(draft.text.encode(), draft.file, identifier, Fault)
        if located is None:
            return Left(row, tuple(f"{each.what}; {each.advice}" for each in problems))
        broken = tuple(f"{each.what}; {each.advice}" for each in fault_rules.broken(located, self.references))
        if broken:
            return Left(row, broken)
        twin = self._twin(located.record)
        if twin:
            return Left(row, (f"the same symptom of the same model is in {twin}",))
        self._taken.add(identifier)
        self._remember(located.record, f"row {row.number}")
        return draft

    def _read(self, row: Row) -> _Found:
        found = _Found({}, [])
        self._texts(row, found)
        model = self._model(row, found)
        if model is not None:
            found.says["models"] = [model]
            self._in_model(row, model, found)
        self._rest(row, found)
        in_order = (name for name in Fault.model_fields if name in found.says)
        return replace(found, says={name: found.says[name] for name in in_order})

    def _texts(self, row: Row, found: _Found) -> None:
        symptoms = self._lines("symptom", row)
        causes, fixes = self._cells("cause", row), self._lines("fix", row)
        for what, texts in (("symptom", symptoms), ("cause", causes), ("fix", fixes)):
            if not texts:
                found.doubts.append(f"no {what}")
        titles = self._cells("title", row) or symptoms[:1]
        found.says["title"] = " ".join(" ".join(titles[:1]).split())
        found.says["symptoms"] = symptoms
        found.says["cause"] = as_prose("\n\n".join(causes)) + "\n"
        found.says["fix"] = [as_prose(_STEP.sub("", step, count=1)) + "\n" for step in fixes]
        if any(_ONLY_SUSPECTED.search(cause) for cause in causes):
            found.says["confirmed"] = False

    def _model(self, row: Row, found: _Found) -> str | None:
        if not self.folder.models:
            found.doubts.append("the shop has no model yet; halfsplit new model ID writes one")
            return None
        known = {each.id: names_of_model(each.id, each.record) for each in self.folder.models.values()}
        name = self._one("model", row, self.given.model)
        return self._sure(found, "no model; --model ID says it for all rows", name, "model", known)

    def _in_model(self, row: Row, model: str, found: _Found) -> None:
        record = self.folder.models[model].record
        blocks = {each.id: names_of_block(each) for each in record.blocks}
        block = self._one("block", row, self.given.block)
        sure = self._sure(found, "no block; --block ID says it for all rows", block, "block", blocks)
        if sure is not None:
            found.says["block"] = sure
        try:
            found.says["revisions"] = self._revisions(row, model)
        except Doubtful as doubt:
            found.doubts.append(str(doubt))

    def _revisions(self, row: Row, model: str) -> list[str]:
        facts = self.references.facts[model]
        named = self._one("revision", row, None)
        if named:
            known = {each.id: tuple(filter(None, (each.id, each.name))) for each in facts.model.revisions}
            known["all"] = ("all",)
            return [meant("revision", named, known)]
        if self.given.revisions:
            return [self.given.revisions]
        if len(facts.revision_ids) == 1:
            return ["all"]
        serial = self._one("serial", row, None)
        if not serial:
            raise Doubtful("it does not tell the revision; give a serial, or --revisions all for all rows")
        told = facts.revisions_for_serial(serial)
        if len(told) != 1:
            raise Doubtful(
                f'the serial "{serial[:40]}" does not tell one revision of {model}; add a column revision'
            )
        return list(told)

    def _rest(self, row: Row, found: _Found) -> None:
        for cell in self._cells("date", row):
            self._take(found, "recorded", lambda cell=cell: date_of(cell, self._order))
        for field, unit in (("minutes", self._unit), ("hours", "h")):
            for cell in self._cells(field, row):
                self._take(found, "minutes", lambda cell=cell, unit=unit: minutes_of(cell, unit))
        parts = {each.id: names_of_part(each.id, each.record) for each in self.folder.parts.values()}
        names = [name.strip() for cell in self._cells("parts", row) for name in re.split(r"[,;\n]", cell)]
        sure = [self._sure(found, "", name, "part", parts) for name in dict.fromkeys(filter(None, names))]
        if any(sure):
            found.says["parts"] = [{"part": each} for each in dict.fromkeys(filter(None, sure))]
        serials = [f"Serial {cell}." for cell in self._cells("serial", row)]
        notes = [as_prose(each) for each in (*self._cells("notes", row), *serials)]
        if notes:
            found.says["private_note"] = "\n\n".join(notes) + "\n"

    @cached_property
    def _unit(self) -> str | None:
        """What the column of the time counts in, if its name says so."""
        words = {word for at in self.columns.of("minutes") for word in key_words(self.table.head[at])}
        if words & {"minutes", "minute", "mins", "min"}:
            return "min"
        return "h" if words & {"hours", "hour", "hrs", "h"} else None

    def _sure(self, found: _Found, absent: str, name: str, what: str, known: Mapping[str, Any]) -> str | None:
        if not name:
            found.doubts.append(absent)
            return None
        try:
            return meant(what, name, known)
        except Doubtful as doubt:
            found.doubts.append(str(doubt))
            return None

    def _take(self, found: _Found, field: str, read: Any) -> None:
        try:
            value = read()
        except Doubtful as doubt:
            found.doubts.append(str(doubt))
        else:
            found.says[field] = value if isinstance(value, int) else value.isoformat()

    def _cells(self, field: str, row: Row) -> list[str]:
        return self.columns.cells(field, row.cells)

    def _one(self, field: str, row: Row, otherwise: str | None) -> str:
        return " ".join(self._cells(field, row)) or otherwise or ""

    def _lines(self, field: str, row: Row) -> list[str]:
        lines = (line.strip() for cell in self._cells(field, row) for line in cell.split("\n"))
        return list(dict.fromkeys(filter(None, lines)))

    def _draft(self, row: Row, identifier: str, says: dict[str, Any]) -> Draft:
        under = f"{says['models'][0]}/"
        if not (self.folder.root / "faults" / under).is_dir():
            under = ""
        file = f"faults/{under}{identifier}.yml"
        return Draft(row.number, identifier, file, record_text(Fault, says), says["title"])

    def _free_id(self, title: str) -> str:
        stem = suggested_identifier(title)[:_LONGEST_NAME].strip("-")
        number = 1
        identifier = stem
        while identifier in self._taken:
            number += 1
            identifier = f"{stem}-{number}"
        return identifier

    def _remember(self, fault: Fault, where: str) -> None:
        for key in _keys(fault):
            self._known.setdefault(key, where)

    def _twin(self, fault: Fault) -> str | None:
        return next((self._known[key] for key in _keys(fault) if key in self._known), None)


def _keys(fault: Fault) -> Iterator[tuple[str, Words]]:
    """Each model with the words of each symptom; what holds no word is like nothing else."""
    for model in fault.models:
        yield from ((model, words) for symptom in fault.symptoms if (words := words_of(symptom)))
