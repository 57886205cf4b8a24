"""Records with every line of text replaced, found by the type of the field and not by a list of names."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from types import NoneType
from typing import Annotated, Any, get_args, get_origin, get_type_hints

import yaml
from pydantic import BaseModel, BeforeValidator

from kb.reading import Located
from kb.records import Fault, Guide, GuideHead, Job, Model, Part, Reading, ShopCard
from kb.records import fields as field_types
from kb.shop import Shop

NOT_FREE = {
    ("Fault", "revisions"), ("Fault", "photos"), ("NamedCapture", "file"), ("NamedCapture", "needs"),
    ("Model", "photos"),
    ("Part", "photos"), ("Picture", "file"), ("Revision", "serials"), ("Job", "serial"),
}  # fmt: skip
"""Lines that must name something else: a revision, a file, a range of serial numbers."""

Replace = Callable[[str], str]
"""From the name of a field, such as `Fault.title`, to what is written there."""


def line_fields() -> set[str]:
    """Every field of every record that takes a line of text as it comes."""
    found: set[str] = set()
    waiting: list[type[BaseModel]] = [ShopCard, Model, Fault, Part, GuideHead, Job]
    while waiting:
        kind = waiting.pop()
        for name, hint in get_type_hints(kind, include_extras=True).items():
            for part in _parts(hint):
                if isinstance(part, type) and issubclass(part, BaseModel) and part is not Reading:
                    waiting.append(part)
                elif _is_text(part) and (kind.__name__, name) not in NOT_FREE:
                    found.add(f"{kind.__name__}.{name}")
    return found - {"CalculationText.name"}


def _parts(hint: Any) -> Iterator[Any]:
    """The types a hint is made of, without lists, choices and None."""
    if _is_text(hint):
        yield hint
    elif get_origin(hint) is Annotated:
        yield from _parts(get_args(hint)[0])
    elif get_args(hint):
        for each in get_args(hint):
            if each not in (NoneType, Ellipsis):
                yield from _parts(each)
    else:
        yield hint


def _is_text(hint: Any) -> bool:
    if get_origin(hint) is not Annotated:
        return False
    base, *more = get_args(hint)
    is_line = any(isinstance(each, BeforeValidator) and each.func is field_types._line for each in more)
    return is_line or base is Reading


def rewritten(shop: Shop, text: Replace) -> Shop:
    """The shop with every free line replaced; every fault is on all revisions, so that none has a sibling."""

    def all_of(records: Mapping[str, Located[Any]], kind: type[BaseModel]) -> dict[str, Located[Any]]:
        return {identifier: _rewritten(shop, located, kind, text) for identifier, located in records.items()}

    guides = {
        identifier: replace(located, record=Guide.model_construct(
            head=_rewritten(shop, located, GuideHead, text).record, body=located.record.body))
        for identifier, located in shop.guides.items()
    }  # fmt: skip
    return replace(
        shop, card=_rewritten(shop, shop.card, ShopCard, text), models=all_of(shop.models, Model),
        faults=all_of(shop.faults, Fault), parts=all_of(shop.parts, Part), jobs=all_of(shop.jobs, Job),
        guides=guides,
    )  # fmt: skip


def _rewritten(shop: Shop, located: Located[Any], kind: type[BaseModel], text: Replace) -> Located[Any]:
    data = _plain(shop.root / located.file)
    if kind is Fault:
        data = {**data, "revisions": "all"}
    return replace(located, record=kind.model_validate(_fill(kind, data, text)))


@cache
def _plain(file: Path) -> dict[str, Any]:
    """A record as lists, mappings and texts; of a guide, its head."""
    text = file.read_text(encoding="utf-8")
    head = text.split("---\n")[1] if file.suffix == ".md" else text
    found: dict[str, Any] = yaml.load(head, Loader=yaml.BaseLoader)  # noqa: S506 - it makes nothing but texts
    return found


def _fill(kind: type[BaseModel], data: dict[str, Any], text: Replace) -> dict[str, Any]:
    hints = get_type_hints(kind, include_extras=True)
    return {name: _value(kind, name, hints[name], value, text, data) for name, value in data.items()}


def _value(
    kind: type[BaseModel], name: str, hint: Any, value: Any, text: Replace, data: dict[str, Any]
) -> Any:
    is_computed = kind.__name__ == "ChangedValue" and name == "now" and "calculation" in data
    for part in _parts(hint):
        if _is_text(part) and (kind.__name__, name) not in NOT_FREE and not is_computed:
            field = f"{kind.__name__}.{name}"
            return [text(field) for _ in value] if isinstance(value, list) else text(field)
        if isinstance(part, type) and issubclass(part, BaseModel) and part is not Reading:
            if part.__name__ == "CalculationText":
                return _calculations(value, text)
            if isinstance(value, list):
                return [_fill(part, each, text) if isinstance(each, dict) else each for each in value]
            if isinstance(value, dict):
                return _fill(part, value, text)
    return value


def _calculations(value: Any, text: Replace) -> Any:
    if isinstance(value, list):
        return [_calculations(each, text) for each in value]
    return {**value, "about": text("CalculationText.about")} if "about" in value else value
