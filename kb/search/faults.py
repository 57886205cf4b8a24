"""The index of symptoms: every fault, with the small table that results are narrowed and ranked by.

The table holds for each fault a number of what many faults share (models, revisions, block, hazards)
and how often it was seen: a few letters a fault, loaded once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kb.search.building import Findable, index_files
from kb.search.postings import encode_numbers
from kb.search.texts import SearchText
from kb.wording.phrases import Phrases

FAULTS = "search/faults/"
TABLE = "search/faults/table.js"
ROWS_PER_FILE = 16
LONGEST_SYMPTOM = 160

Ranges = tuple[tuple[str, int | None, int | None], ...]
"""Serial numbers as (prefix, lowest, highest)."""


@dataclass(frozen=True)
class Place:
    """A block of a model: its id, its name, its role in words shared by all models, its hazards."""

    id: str
    name: str
    role: str
    hazards: tuple[str, ...] = ()


@dataclass(frozen=True)
class Instrument:
    """A model as far as the search knows it; `revisions` are ids with their serial numbers."""

    id: str
    name: str
    revisions: tuple[tuple[str, Ranges], ...] = ()
    blocks: tuple[Place, ...] = ()


@dataclass(frozen=True)
class FoundFault:
    """A fault as far as the search knows it; `on` is each of its models with the revisions it is on."""

    id: str
    path: str
    title: str
    symptoms: tuple[str, ...]
    story: tuple[str, ...]
    on: tuple[tuple[str, tuple[str, ...]], ...]
    block: str
    hazards: tuple[str, ...] = ()
    seen: int = 0
    confirmed: bool = True


def fault_files(
    faults: Sequence[FoundFault], models: Sequence[Instrument], hazards: Mapping[str, str], phrases: Phrases
) -> dict[str, Any]:
    """The files of the index of symptoms, by path; `hazards` are titles by id, in the order to show them."""
    ordered = sorted(faults, key=lambda fault: fault.id)
    known = _with_unknown(sorted(models, key=lambda model: model.id), ordered)
    names = {model.id: model.name for model in known}
    found = [Findable(_text(fault, names), _row(fault)) for fault in ordered]
    files = index_files(found, phrases, FAULTS, ROWS_PER_FILE)
    return files | {TABLE: _table(ordered, known, hazards)}


def _with_unknown(models: list[Instrument], faults: Sequence[FoundFault]) -> list[Instrument]:
    """The models, and behind them those that a fault names though they cannot be read."""
    known = {model.id for model in models}
    named = {model for fault in faults for model, _ in fault.on}
    return models + [Instrument(model, model) for model in sorted(named - known)]


def _text(fault: FoundFault, names: Mapping[str, str]) -> SearchText:
    return SearchText(fault.title, (*fault.symptoms, *(names[model] for model, _ in fault.on)), fault.story)


def _row(fault: FoundFault) -> list[Any]:
    symptoms = [" ".join(symptom.split())[:LONGEST_SYMPTOM] for symptom in fault.symptoms]
    return [fault.path, fault.title, symptoms, int(fault.confirmed)]


def _table(
    faults: Sequence[FoundFault], models: Sequence[Instrument], hazards: Mapping[str, str]
) -> dict[str, Any]:
    numbers = {model.id: number for number, model in enumerate(models)}
    kinds: dict[str, int] = {}
    shared: list[Any] = []
    codes: list[int] = []
    for fault in faults:
        kind = _kind(fault, models, numbers, tuple(hazards))
        place = kinds.setdefault(repr(kind), len(kinds))
        if place == len(shared):
            shared.append(kind)
        codes += (place, fault.seen)
    return {
        "models": [_model(model) for model in models],
        "hazards": [list(item) for item in hazards.items()],
        "kinds": shared,
        "faults": encode_numbers(codes),
    }


def _kind(
    fault: FoundFault, models: Sequence[Instrument], numbers: Mapping[str, int], hazards: tuple[str, ...]
) -> list[Any]:
    """What a fault shares with others: block, [model, revisions] by number, hazards by number."""
    on = []
    for model, revisions in fault.on:
        known = [identifier for identifier, _ in models[numbers[model]].revisions]
        on.append([numbers[model], [known.index(each) for each in revisions if each in known]])
    return [fault.block, on, [hazards.index(each) for each in hazards if each in fault.hazards]]


def _model(model: Instrument) -> list[Any]:
    revisions = [[identifier, [list(each) for each in ranges]] for identifier, ranges in model.revisions]
    blocks = [[block.id, block.name, block.role] for block in model.blocks]
    return [model.id, model.name, revisions, blocks]
