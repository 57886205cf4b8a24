"""Every field of every record is either public or private, and nothing public is decided anywhere else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from typing import get_args

import pytest

import kb.pages  # noqa: F401 - so that every record type there is has been defined
from kb.audience import (
    FIELDS,
    PublicFault,
    PublicGuide,
    PublicModel,
    PublicPart,
    PublicSite,
    is_public,
    may_leave,
    public_values,
)
from kb.records import Fault, Guide, Job, Model, OwnCalculator, Part, ShopCard, Written
from kb.records.fields import Audience

ONLY_IN_A_FENCE = ("kb.pages.fence_reading._Fence", "kb.pages.exercise_reading._Exercise")


def record_types(kind: type[Written] = Written) -> Iterator[type[Written]]:
    for each in kind.__subclasses__():
        if each.__module__.startswith("kb.") and f"{each.__module__}.{each.__name__}" not in ONLY_IN_A_FENCE:
            yield each
        yield from record_types(each)


ALL_FIELDS = [(kind, name) for kind in sorted(record_types(), key=str) for name in kind.model_fields]


@pytest.mark.parametrize(("kind", "name"), ALL_FIELDS, ids=lambda each: getattr(each, "__name__", each))
def test_every_field_is_public_or_private(kind: type[Written], name: str) -> None:
    assert FIELDS[kind][name] in ("public", "private")


@pytest.mark.parametrize("kind", FIELDS, ids=lambda kind: kind.__name__)
def test_the_table_lists_no_field_that_is_gone(kind: type[Written]) -> None:
    assert set(FIELDS[kind]) == set(kind.model_fields)


def test_a_field_that_nobody_listed_is_private() -> None:
    class Later(Written):
        added: str = "x"

    assert not is_public(Later, "added")
    assert not is_public(Fault, "added_tomorrow")
    assert public_values(Later()) == {}


@pytest.mark.parametrize(
    ("kind", "name"),
    [
        *((Job, name) for name in Job.model_fields),
        *((kind, "private_note") for kind in (Model, Fault, Part, OwnCalculator)),
        *((kind, "recorded") for kind in (Model, Fault, Part)),
        (Part, "price"), (Part, "kept_in"), (Model, "revisions"), (Model, "checks"), (Fault, "values"),
        (Fault, "checks"), (ShopCard, "welcome"),
    ],
)  # fmt: skip
def test_what_never_leaves(kind: type[Written], name: str) -> None:
    assert not is_public(kind, name)


def test_records_without_an_audience_never_leave() -> None:
    assert "audience" not in Job.model_fields
    assert "audience" not in OwnCalculator.model_fields
    assert "audience" not in ShopCard.model_fields
    assert not may_leave(Job.model_construct())
    assert not may_leave(OwnCalculator.model_construct(audience="customer"))  # type: ignore[call-arg]


@pytest.mark.parametrize("word", ["shop", "Customer", "customers", "public", "", None, True])
def test_only_the_one_word_lets_a_record_out(word: object) -> None:
    assert not may_leave(Fault.model_construct(audience=word))
    assert get_args(Audience) == ("shop", "customer")


def test_the_public_types_have_no_room_for_anything_else() -> None:
    names = {kind: {each.name for each in fields(kind)} for kind in (PublicModel, PublicFault, PublicPart)}
    assert names[PublicModel] == {"id", "name", "maker", "kind", "years"}
    assert names[PublicFault] == {
        "id", "title", "models", "symptoms", "cause", "fix", "confirmed", "hazards", "related"
    }  # fmt: skip
    assert names[PublicPart] == {"id", "name", "kind", "summary", "hazards"}
    assert {each.name for each in fields(PublicSite)} == {
        "name", "place", "local_code", "models", "faults", "guides", "parts"
    }  # fmt: skip
    guide = {each.name for each in fields(PublicGuide)}
    assert guide - {"id", "body"} <= {name for name, seen in FIELDS[_head()].items() if seen == "public"}


def _head() -> type[Written]:
    found = Guide.model_fields["head"].annotation
    assert isinstance(found, type)
    return found
