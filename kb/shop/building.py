"""From a folder of records to a shop: all rules run, all problems collected, no shop if there is one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from kb.problems import Problem, Problems
from kb.reading import Folder, Located, read_folder, read_guides
from kb.reading.kept_records import KeptRecords
from kb.records import Guide
from kb.shop import fault_rules, job_rules, model_rules, part_rules, synonym_rules
from kb.shop.references import References
from kb.shop.shop import Shop
from kb.store import Store


def load_shop(
    root: Path, handbook: Path | None = None, store: Store | None = None
) -> tuple[Shop | None, tuple[Problem, ...]]:
    """The shop in `root` with the handbook pages of a folder; None when anything is wrong.

    The problems of all files come back together, sorted by place. A `store` saves the reading of files that
    are as they were; the records of a sound shop are kept in it.
    """
    problems = Problems()
    if not root.is_dir():
        what = f'there is no folder "{root.name}"'
        return None, (Problem(str(root), 1, 1, what, "name a shop folder; halfsplit start makes one"),)
    kept = None if store is None else KeptRecords(store)
    folder, found = read_folder(root, kept)
    problems.extend(found)
    pages: Mapping[str, Located[Guide]] = MappingProxyType({})
    if handbook is not None:
        pages, found = read_guides(handbook, "handbook", kept)
        problems.extend(found)
    problems.extend(broken_rules(folder))
    if len(problems) or folder.card is None:
        return None, tuple(problems)
    shop = Shop(
        root, folder.card, folder.models, folder.faults, folder.parts, folder.guides, folder.jobs,
        folder.calculators, pages, folder.data_files,
        folder.synonyms.record.groups if folder.synonyms else (),
    )  # fmt: skip
    if kept is not None:
        kept.keep(_located(folder, pages))
    return shop, ()


def _located(folder: Folder, handbook: Mapping[str, Located[Guide]]) -> Iterator[Located[Any]]:
    """Everything that was read from a file."""
    yield from (each for each in (folder.card, folder.synonyms) if each is not None)
    for records in (
        folder.models, folder.faults, folder.parts, folder.guides, folder.jobs, folder.calculators, handbook,
    ):  # fmt: skip
        yield from records.values()


def broken_rules(folder: Folder) -> Problems:
    """What no single file can tell: references, serial ranges, graphs."""
    problems = Problems()
    references = References(folder)
    for model in folder.models.values():
        problems.extend(model_rules.broken(model, references))
    for fault in folder.faults.values():
        problems.extend(fault_rules.broken(fault, references))
    for part in folder.parts.values():
        problems.extend(part_rules.broken_part(part, references))
    for guide in folder.guides.values():
        problems.extend(part_rules.broken_guide(guide, references))
    for job in folder.jobs.values():
        problems.extend(job_rules.broken(job, references))
    if folder.synonyms is not None:
        problems.extend(synonym_rules.broken(folder.synonyms))
    return problems
