"""What `halfsplit check` would say of a record that is not written yet, and about which of its fields."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from kb.cli.drafting import PLACES, RULES, Bench, with_record
from kb.handbook import handbook_folder
from kb.pages.fault_pages import fault_page
from kb.pages.guide_pages import guide_page
from kb.pages.job_pages import job_pages
from kb.pages.model_pages import model_pages
from kb.pages.part_pages import part_page
from kb.pages.sheet import Desk
from kb.problems import Problem
from kb.reading import Folder, Located, read_record
from kb.reading.folder import FOLDERS
from kb.reading.front_matter import split_front_matter
from kb.reading.tree import Mapping, Node, Scalar, Sequence, UnreadableYaml, decode, read_tree
from kb.shop import load_shop
from kb.shop.building import broken_rules
from kb.shop.references import References

Told = tuple[tuple[Problem, str], ...]
"""Problems, each with the path of its field, such as `checks.0.reads`; "" is the record as a whole."""


def judged(bench: Bench, kind: str, identifier: str, file: str, data: bytes) -> tuple[Told, Told]:
    """The problems and the disagreements of the record that `data` says."""
    place = PLACES[kind]
    located, found = read_record(data, file, identifier, FOLDERS[place])
    disagreements: tuple[Problem, ...] = ()
    if located is not None:
        folder = with_record(bench.folder, place, located)
        found = tuple(RULES[kind](located, References(folder)))
    if located is not None and not found:
        found, disagreements = _on_its_pages(bench, kind, place, located)
        disagreements = (*disagreements, *_elsewhere(bench, folder, file))
    tree = _tree(kind, data, file)
    return _with_fields(found, tree, file), _with_fields(disagreements, tree, file)


def _elsewhere(bench: Bench, folder: Folder, file: str) -> Iterator[Problem]:
    """What the change would break in other records: told, but no reason not to write this one first."""
    before = set(broken_rules(bench.folder))
    return (each for each in broken_rules(folder) if each.file != file and each not in before)


def _on_its_pages(
    bench: Bench, kind: str, place: str, located: Located[Any]
) -> tuple[tuple[Problem, ...], tuple[Problem, ...]]:
    """What only the record's own pages show: calculations, links and pictures in its prose.

    While other records have problems there are no pages; then the build will tell.
    """
    shop, _ = load_shop(bench.root, handbook_folder())
    if shop is None:
        return (), ()
    records = {**getattr(shop, place), located.id: located}
    if kind == "job":
        # All pages of jobs are made together, and only this one's is wanted.
        records = {located.id: located}
    changed: dict[str, Any] = {place: MappingProxyType(records)}
    desk = Desk(replace(shop, **changed), draws=False)
    _make_pages(desk, kind, located.id)
    return tuple(_of(desk.problems, located.file)), tuple(_of(desk.disagreements, located.file))


def _make_pages(desk: Desk, kind: str, identifier: str) -> None:
    match kind:
        case "fault":
            fault_page(desk, identifier)
        case "part":
            part_page(desk, identifier)
        case "guide":
            guide_page(desk, "guide", identifier)
        case "model":
            list(model_pages(desk, identifier))
        case "job":
            list(job_pages(desk))


def _of(problems: Any, file: str) -> Iterator[Problem]:
    return (each for each in problems if each.file == file)


def _tree(kind: str, data: bytes, file: str) -> Node | None:
    try:
        text = decode(data, file)
    except UnreadableYaml:
        return None
    if kind != "guide":
        return read_tree(text, file)[0]
    split, _ = split_front_matter(text, file)
    return read_tree(split.head, file, split.head_place)[0] if split else None


def _with_fields(problems: tuple[Problem, ...], tree: Node | None, file: str) -> Told:
    return tuple((each, _field_of(each, tree) if each.file == file else "") for each in problems)


def _field_of(problem: Problem, tree: Node | None) -> str:
    """The field a problem is about: the one whose key or value begins at its place, or last before it."""
    if tree is None:
        return ""
    at = (problem.line, problem.column)
    path = ""
    for place, each in sorted(_places(tree, ""), key=lambda found: found[0]):
        if place <= at:
            path = each
    missing = re.match(r'"([a-z_]+)" is missing', problem.what)
    if missing is None:
        return path
    around = next((each for place, each in _places(tree, "") if place == at and _is_mapping(tree, each)), "")
    return f"{around}.{missing[1]}".removeprefix(".")


def _is_mapping(tree: Node, path: str) -> bool:
    node: Node = tree
    for step in filter(None, path.split(".")):
        if isinstance(node, Mapping):
            entry = node.get(step)
            node = entry.value if entry else node
        elif isinstance(node, Sequence):
            node = node.items[int(step)]
    return isinstance(node, Mapping)


def _places(node: Node, path: str) -> Iterator[tuple[tuple[int, int], str]]:
    """Every value with its place; a key stands at its own place too."""
    yield (node.place.line, node.place.column), path
    if isinstance(node, Scalar):
        return
    under = (
        [(each.key.text, each.value, each.key.place) for each in node.entries]
        if isinstance(node, Mapping)
        else [(str(number), each, each.place) for number, each in enumerate(node.items)]
    )
    for name, value, place in under:
        here = f"{path}.{name}".removeprefix(".")
        yield (place.line, place.column), here
        yield from _places(value, here)
