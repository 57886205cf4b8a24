"""A token in each private field: none of them is in the customers' site, and the shop's site shows them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from kb.audience import FIELDS, may_leave
from kb.audience.decoding import readings
from kb.pages import build_site
from kb.reading import Located
from kb.records import Written
from kb.shop import Shop
from tests.audience.public_bench import files, read_public_bench, write_public_bench
from tests.pages.rewriting import line_fields, rewritten

PROSE = (
    ("ShopCard", "welcome"), ("Model", "summary"), ("Model", "private_note"), ("Fault", "private_note"),
    ("Part", "private_note"), ("Job", "arrival"), ("Job", "note"), ("Finding", "note"),
    ("Finding", "done"), ("Job", "advice"), ("Revision", "note"),
    ("Block", "does"), ("Check", "note"), ("Supply", "note"),
)  # fmt: skip

KINDS = {name: kind for kind, name in ((kind, kind.__name__) for kind in FIELDS)}


def token(field: str) -> str:
    return f"canary{field.replace('.', '').replace('_', '').lower()}"


def is_private(field: str) -> bool:
    kind, _, name = field.partition(".")
    return FIELDS[KINDS[kind]][name] == "private"


@cache
def canaries(folder: Path) -> Shop:
    """The shop with a token in every line and prose that customers must not see."""
    shop = read_public_bench(folder)
    everywhere = rewritten(shop, token)
    for_customers = rewritten(shop, lambda field: token(field) if is_private(field) else "plain words")

    def choose(kind: str) -> dict[str, Located[Any]]:
        before: Mapping[str, Located[Any]] = getattr(shop, kind)
        return {
            name: _prose(getattr(for_customers if may_leave(each.record) else everywhere, kind)[name])
            for name, each in before.items()
        }

    kinds = ("models", "faults", "parts", "guides", "jobs")
    return replace(shop, card=_prose(for_customers.card), **{kind: choose(kind) for kind in kinds})


def _prose(located: Located[Any]) -> Located[Any]:
    return replace(located, record=_with_prose(located.record, public=may_leave(located.record)))


def _with_prose(record: Any, *, public: bool) -> Any:
    update: dict[str, Any] = {}
    for name in type(record).model_fields:
        value = getattr(record, name)
        field = (type(record).__name__, name)
        if field in PROSE and (is_private(".".join(field)) or not public):
            update[name] = token(".".join(field)) + "\n"
        elif isinstance(value, Written):
            update[name] = _with_prose(value, public=public)
        elif isinstance(value, tuple) and value and all(isinstance(each, Written) for each in value):
            update[name] = tuple(_with_prose(each, public=public) for each in value)
    return record.model_copy(update=update)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return canaries(write_public_bench(tmp_path_factory.mktemp("canaries") / "shop"))


@pytest.fixture(scope="module")
def shops_own_site(shop: Shop) -> str:
    """Every body of the shop's own site as one text."""
    site, problems = build_site(shop)
    assert site is not None, problems
    return "\n".join(page.body for page in site.pages)


@pytest.fixture(scope="module")
def customers_site(shop: Shop) -> str:
    """Every file for customers, read in every way."""
    return "\n".join((*_everything(files(shop)),)).lower()


def _everything(made: Mapping[str, bytes]) -> Iterator[str]:
    for name, data in made.items():
        yield name
        yield from (text for _, text in readings(name, data))


PRIVATE_FIELDS = sorted(
    {field for field in line_fields() if is_private(field)} | {".".join(field) for field in PROSE}
)


@pytest.mark.parametrize("field", PRIVATE_FIELDS)
def test_customers_never_see_it(customers_site: str, field: str) -> None:
    assert token(field) not in customers_site


def test_no_token_of_any_kind_is_there(customers_site: str) -> None:
    assert "canary" not in customers_site
    assert "plain words" in customers_site  # the records were published, with other words


def test_the_shop_does_see_them(shops_own_site: str) -> None:
    unseen = {field for field in PRIVATE_FIELDS if token(field) not in shops_own_site}
    assert len(unseen) < len(PRIVATE_FIELDS) // 4, sorted(unseen)
    seen = {
        "Part.price", "Part.kept_in", "Part.private_note", "Fault.private_note", "Job.complaint", "Job.note",
        "ShopCard.welcome", "Model.private_note", "Job.customer", "EarlierWork.found", "Block.name",
    }  # fmt: skip
    assert not seen & unseen


@pytest.mark.parametrize(
    "field", ["Fault.title", "Model.name", "Part.name", "GuideHead.title", "GuideHead.summary"]
)
def test_titles_of_what_is_for_the_shop_are_seen_there_and_nowhere_else(
    shops_own_site: str, customers_site: str, field: str
) -> None:
    assert token(field) in shops_own_site
    assert token(field) not in customers_site
