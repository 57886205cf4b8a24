"""A new record on its way into a shop folder: looked at before it is written, and never over another.

A draft is filled from its template, read back as `halfsplit check` will read it and held against the
records that are there. Only then does a file come into being.
"""

from __future__ import annotations

import os
import re
import shlex
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from types import MappingProxyType
from typing import Any

import click

from kb.cli.asking import refuse, taken
from kb.cli.filling import Emitted, fill
from kb.cli.loading import folder_as_kept
from kb.cli.new_file import write_new
from kb.problems import Problem, did_you_mean
from kb.reading import Folder, Located, read_record
from kb.reading.folder import CARD, FOLDERS
from kb.records import Model
from kb.shop import ModelFacts, UnreadableSerials, fault_rules, job_rules, model_rules, part_rules
from kb.shop.references import References
from kb.shop.units import number_of

PLACES: Mapping[str, str] = MappingProxyType(
    {"model": "models", "fault": "faults", "part": "parts", "guide": "guides", "job": "jobs"}
)
RULES: dict[str, Callable[[Any, References], Iterator[Problem]]] = {
    "model": model_rules.broken, "fault": fault_rules.broken, "part": part_rules.broken_part,
    "guide": part_rules.broken_guide, "job": job_rules.broken,
}  # fmt: skip


@dataclass(frozen=True)
class Example:
    """Ids of this shop for the fields that stand as comments, so that they hold once they are used."""

    model: str = "model-id"
    revision: str = "a"
    mark: str = "a mark under by_sight"
    check: str = "check-id"
    trim: str = "trim-id"
    fault: str = "fault-id"
    part: str = "part-id"


@dataclass(frozen=True)
class Bench:
    """A shop folder as far as it can be read; problems in other records are no reason not to write one."""

    root: Path

    @classmethod
    def at(cls, path: str) -> Bench:
        """The bench of the shop folder at `path`."""
        return cls(Path(path))

    @cached_property
    def folder(self) -> Folder:
        """The records that are there."""
        if not (self.root / CARD).is_file():
            refuse(f'"{self.root}" is no shop folder: {CARD} is missing', "halfsplit start makes one")
        return folder_as_kept(self.root)

    def model(self, identifier: str) -> Model:
        """The model of that id, or a refusal."""
        found = self.folder.models.get(identifier)
        if found is None:
            advice = did_you_mean(identifier, self.models)
            refuse(f'there is no model "{identifier}" that can be read', advice)
        return found.record

    @property
    def models(self) -> tuple[str, ...]:
        """The ids of the models, or a refusal where there is none."""
        if not self.folder.models:
            refuse("the shop has no model yet", "halfsplit new model ID writes one")
        return tuple(self.folder.models)

    def example(self, model: str | None = None, serial: str = "") -> Example:
        """Ids that exist: those of `model` where one is given, and the revision that `serial` tells."""
        known = self.folder.models
        model = model or next(iter(known), None)
        first = known.get(model) if model else None
        faults = [each.id for each in self.folder.faults.values() if model in each.record.models]
        found = {
            "model": model,
            "revision": _revision(first, serial) if first else None,
            "mark": _mark(first, serial) if first else None,
            "check": first and next((check.id for check in first.record.checks), None),
            "trim": first and next(iter(_trims(first)), None),
            "fault": next(iter(faults), None),
            "part": next(iter(self.folder.parts), None),
        }
        return Example(**{key: each for key, each in found.items() if each})

    def has(self, kind: str, identifier: str) -> bool:
        """Whether a record of that id is there, readable or not."""
        place = PLACES[kind]
        return identifier in getattr(self.folder, place) or (place, identifier) in self.folder.unreadable

    def need_free(self, kind: str, identifier: str) -> None:
        """Refuse an id that is taken, before anybody is asked anything for it."""
        if self.has(kind, identifier):
            refuse(f'there is a {kind} "{identifier}" already', "choose another id, or edit that one")

    def earlier_jobs(self, model: str, serial: str) -> tuple[str, ...]:
        """The jobs of that unit so far, oldest first; none where its serial tells it from no other."""
        facts = ModelFacts(model, self.folder.models[model].record)
        try:
            number = number_of(facts, serial, "")
            found = [
                each for each in self.folder.jobs.values()
                if each.record.model == model and number_of(facts, each.record.serial, each.id) == number
            ]  # fmt: skip
        except UnreadableSerials:
            return ()
        return tuple(each.id for each in sorted(found, key=lambda each: (each.record.received, each.id)))

    def next_job(self, year: int) -> str:
        """The first id after all that are numbered in `year`, such as 2026-001."""
        spoilt = (name for place, name in self.folder.unreadable if place == "jobs")
        pattern = re.compile(rf"{year}-([0-9]{{3,6}})(?![0-9])")
        numbered = (pattern.match(name) for name in (*self.folder.jobs, *spoilt))
        numbers = [int(found[1]) for found in numbered if found]
        return f"{year}-{max(numbers, default=0) + 1:03}"


def write_record(
    bench: Bench, kind: str, identifier: str, values: Mapping[str, object], under: str = ""
) -> None:
    """Fill the template of `kind`, and write it unless something speaks against it.

    `under` is a folder inside the kind's own that is used where the shop has it.
    """
    path = place_of(bench.root, kind, identifier, under)
    given = {"modeline": modeline_of(bench.root, kind, path), "example": bench.example(), **values}
    text = fill(f"records/{kind}{path.suffix}.jinja", **given)
    problems = tuple(problems_of(bench, kind, identifier, text))
    if problems:
        refuse("\n".join(f"{each.what}; {each.advice}" for each in problems))
    write_new(path, text, if_taken="choose another id")
    root = "" if bench.root == Path() else f" {shlex.quote(str(bench.root))}"
    click.echo(f"{path} written; edit it, then halfsplit check{root}")
    for option, value in taken().items():
        click.echo(f"{option} was not given; taken: {value}")


def _revision(model: Located[Model], serial: str) -> str:
    """The revision that `serial` tells; the first one where it tells none."""
    facts = ModelFacts(model.id, model.record)
    try:
        told = facts.revisions_for_serial(serial)
    except UnreadableSerials:
        told = ()
    return (*told, *facts.revision_ids)[0]


def _trims(model: Located[Model]) -> list[str]:
    """The ids of its trims, if it has any."""
    return [each.id for each in model.record.calibration.trims] if model.record.calibration else []


def _mark(model: Located[Model], serial: str) -> str | None:
    """A sight mark of that revision, if it has one."""
    revision = ModelFacts(model.id, model.record).revision(_revision(model, serial))
    return next(iter(revision.by_sight), None)


def place_of(root: Path, kind: str, identifier: str, under: str) -> Path:
    """Where a new record of that id goes; `under` is a folder of its kind, used if it is there."""
    folder = root / PLACES[kind]
    if under and (folder / under).is_dir():
        folder /= under
    return folder / f"{identifier}{'.md' if kind == 'guide' else '.yml'}"


def modeline_of(root: Path, kind: str, path: Path) -> Emitted | None:
    """The comment by which an editor finds the schema, where the shop has one."""
    file = root / "schemas" / f"{kind}.json"
    if not file.is_file():
        return None
    return Emitted(f"# yaml-language-server: $schema={Path(os.path.relpath(file, path.parent)).as_posix()}")


def problems_of(bench: Bench, kind: str, identifier: str, text: str) -> Iterator[Problem]:
    """What `halfsplit check` would say of the new record."""
    place = PLACES[kind]
    located, problems = read_record(text.encode(), f"{place}/{identifier}", identifier, FOLDERS[place])
    yield from problems
    if located is not None:
        yield from RULES[kind](located, References(with_record(bench.folder, place, located)))


def with_record(folder: Folder, place: str, located: Located[Any]) -> Folder:
    """The folder with one record in the place of the one of its id, or beside the others."""
    changed: dict[str, Any] = {place: {**getattr(folder, place), located.id: located}}
    return replace(folder, **changed)
