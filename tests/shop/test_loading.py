"""A loaded shop depends on what its files say, not on the order they were made in, and never changes."""

from __future__ import annotations

import dataclasses
import random
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel, ValidationError

from kb.reading.located import Located
from kb.shop import Links, Shop, load_shop
from tests.golden.cases import BENCH


@pytest.fixture(scope="module")
def demo(demo_content: Path) -> Shop:
    shop, problems = load_shop(demo_content)
    assert shop is not None, "\n".join(map(str, problems))
    return shop


@pytest.mark.parametrize("seed", range(4))
def test_the_order_of_ids_is_that_of_their_files_names(seed: int, demo_content: Path, tmp_path: Path) -> None:
    paths = [path for path in demo_content.rglob("*") if path.is_file() and ".halfsplit" not in path.parts]
    random.Random(seed).shuffle(paths)
    for path in paths:
        copy = tmp_path / path.relative_to(demo_content)
        copy.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(path, copy)
    shop, _ = load_shop(tmp_path)
    original, _ = load_shop(demo_content)
    assert shop is not None
    assert original is not None
    for kind in ("models", "faults", "parts", "guides", "jobs"):
        found, expected = getattr(shop, kind), getattr(original, kind)
        assert list(found) == list(expected)
        assert [each.file for each in found.values()] == sorted(each.file for each in expected.values())
        assert {key: each.record for key, each in found.items()} == {
            key: each.record for key, each in expected.items()
        }
    assert Links(shop).newest_faults == Links(original).newest_faults


def test_problems_come_in_the_same_order_whatever_was_made_first(tmp_path: Path) -> None:
    orders = []
    for number, names in enumerate((["a", "b", "c"], ["c", "a", "b"])):
        shop = tmp_path / str(number)
        shutil.copytree(BENCH, shop)
        for name in names:
            (shop / "parts" / f"{name}.yml").write_text("name: p\nsize: 5\ncolour: x\n", encoding="utf-8")
        orders.append([str(problem) for problem in load_shop(shop)[1]])
    assert orders[0] == orders[1]
    assert len(orders[0]) == 9


def records_of(shop: Shop) -> Iterator[Located[Any]]:
    yield shop.card
    for kind in (shop.models, shop.faults, shop.parts, shop.guides, shop.jobs):
        yield from kind.values()


def values_within(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Everything that a record holds, at any depth."""
    yield path, value
    if isinstance(value, BaseModel):
        for name in type(value).model_fields:
            yield from values_within(getattr(value, name), f"{path}.{name}")
    elif isinstance(value, tuple):
        for number, item in enumerate(value):
            yield from values_within(item, f"{path}[{number}]")
    elif isinstance(value, Mapping):
        for key, item in value.items():
            yield from values_within(item, f"{path}[{key}]")


def test_nothing_in_any_record_of_the_demo_shop_can_be_changed(demo: Shop) -> None:
    seen = 0
    for located in records_of(demo):
        for path, value in values_within(located.record, located.file):
            assert not isinstance(value, list | dict | set), path
            if isinstance(value, BaseModel):
                field = next(iter(type(value).model_fields))
                with pytest.raises(ValidationError, match="frozen"):
                    setattr(value, field, None)
                seen += 1
            elif dataclasses.is_dataclass(value):
                with pytest.raises(dataclasses.FrozenInstanceError):
                    setattr(value, dataclasses.fields(value)[0].name, None)
    assert seen > 500


def test_no_record_can_be_put_into_a_shop_or_taken_out(demo: Shop) -> None:
    kinds = (demo.models, demo.faults, demo.parts, demo.guides, demo.jobs, demo.handbook, demo.facts)
    for kind in (*kinds, *(facts.ranges for facts in demo.facts.values())):
        with pytest.raises(TypeError):
            kind["new"] = None  # type: ignore[index]
    assert isinstance(demo.data_files, frozenset)


@pytest.mark.parametrize("name", ["models", "root", "card", "facts"])
def test_no_part_of_a_shop_can_be_exchanged(demo: Shop, name: str) -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        setattr(demo, name, None)


def test_a_record_found_in_a_tree_cannot_be_exchanged(demo: Shop) -> None:
    located = next(iter(demo.models.values()))
    with pytest.raises(dataclasses.FrozenInstanceError):
        located.id = "other"  # type: ignore[misc]
