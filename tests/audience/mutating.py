"""Shops that differ in what is private and in nothing else, made by chance from a number."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from random import Random
from typing import Any

from kb.audience import is_public, may_leave
from kb.reading import Located
from kb.records import Reading, Written
from kb.shop import Shop

KINDS = ("models", "faults", "parts", "guides", "jobs", "calculators")
HOSTILE = (
    "<script>alert(1)</script>", "{{ shop }}", "audience: customer", "[x](fault:lull-belt-slips)", "</body>",
    "../../photos/new-belt.png", "\u202eturned", "Ärger — 5 €", "%s%n", "title",
)  # fmt: skip

Step = str | int


def mutated(shop: Shop, random: Random) -> Shop:
    """The shop with one to four private things changed, added, removed or renamed."""
    for _ in range(random.randint(1, 4)):
        shop = random.choice(_CHANGES)(shop, random)
    return shop


def noise(random: Random) -> str:
    """A text that stands nowhere else."""
    word = "".join(random.choice("bcdfghjklmnpqrstvwxyz") for _ in range(random.randint(5, 12)))
    return f"{random.choice(HOSTILE)} {word}" if random.random() < 0.3 else f"qz{word}"


def _change_field(shop: Shop, random: Random) -> Shop:
    """One private field of one record, whoever may see the record."""
    kind = random.choice([each for each in KINDS if getattr(shop, each)])
    records: Mapping[str, Located[Any]] = getattr(shop, kind)
    located = records[random.choice(sorted(records))]
    places = list(private_places(located.record, public=may_leave(located.record)))
    if not places:
        return shop
    record = with_changed(located.record, random.choice(places), random)
    return replace(shop, **{kind: {**records, located.id: replace(located, record=record)}})


def _change_card(shop: Shop, random: Random) -> Shop:
    place = random.choice(list(private_places(shop.card.record, public=True)))
    return replace(shop, card=replace(shop.card, record=with_changed(shop.card.record, place, random)))


def _remove(shop: Shop, random: Random) -> Shop:
    kind = random.choice(KINDS)
    kept = {**getattr(shop, kind)}
    private = [each for each in kept if not may_leave(kept[each].record)]
    for identifier in random.sample(private, random.randint(0, len(private))):
        del kept[identifier]
    return replace(shop, **{kind: kept})


def _rename(shop: Shop, random: Random) -> Shop:
    kind = random.choice(KINDS)
    records: Mapping[str, Located[Any]] = getattr(shop, kind)
    private = sorted(each for each in records if not may_leave(records[each].record))
    if not private:
        return shop
    old, new = random.choice(private), random.choice("0az") + noise(random)
    renamed = replace(records[old], id=new, file=f"{kind}/{new}.yml")
    return replace(shop, **{kind: {(new if each == old else each): (renamed if each == old else records[each])
                                   for each in records}})  # fmt: skip


def _add(shop: Shop, random: Random) -> Shop:
    """One more private record: a copy of another one, perhaps of a public one that is not for customers."""
    kind = random.choice([each for each in KINDS if getattr(shop, each)])
    records: Mapping[str, Located[Any]] = getattr(shop, kind)
    original = records[random.choice(sorted(records))]
    record = _for_the_shop(original.record)
    new = random.choice("0az") + noise(random)
    added = {new: replace(original, id=new, record=record, file=f"{kind}/{new}.yml")}
    return replace(shop, **{kind: {**added, **records} if random.random() < 0.5 else {**records, **added}})


def _for_the_shop(record: Any) -> Any:
    if hasattr(record, "head"):
        return record.model_copy(update={"head": record.head.model_copy(update={"audience": "shop"})})
    return record.model_copy(update={"audience": "shop"}) if hasattr(record, "audience") else record


def _reorder(shop: Shop, random: Random) -> Shop:
    """Records in the order in which another file system would give them."""
    kind = random.choice(KINDS)
    names = list(getattr(shop, kind))
    random.shuffle(names)
    return replace(shop, **{kind: {each: getattr(shop, kind)[each] for each in names}})


def _change_files(shop: Shop, random: Random) -> Shop:
    """Files that no public record names come and go."""
    named = {"photos/new-belt.png", "captures/speed.csv"}
    kept = {each for each in shop.data_files if each in named or random.random() < 0.5}
    return replace(shop, data_files=frozenset(kept | {f"photos/{noise(random)}.jpg"}))


def _change_synonyms(shop: Shop, random: Random) -> Shop:
    return replace(shop, synonyms=((noise(random), noise(random)),) if random.random() < 0.7 else ())


_CHANGES: tuple[Callable[[Shop, Random], Shop], ...] = (
    _change_field, _change_field, _change_field, _change_field, _change_card, _remove, _rename, _add,
    _reorder, _change_files, _change_synonyms,
)  # fmt: skip


def private_places(record: Written, *, public: bool) -> Iterator[tuple[Step, ...]]:
    """The paths of everything private in a record; `audience` decides and is left alone."""
    for name in type(record).model_fields:
        if name == "audience":
            continue
        shown = public and (name == "head" or is_public(type(record), name))
        value = getattr(record, name)
        if not shown and name != "head":  # a guide without a head is none that could be read
            yield (name,)
        yield from ((name, *rest) for rest in _below(value, public=shown))


def _below(value: Any, *, public: bool) -> Iterator[tuple[Step, ...]]:
    if isinstance(value, Written) and not isinstance(value, Reading):
        yield from private_places(value, public=public)
    elif isinstance(value, tuple):
        for number, each in enumerate(value):
            yield from ((number, *rest) for rest in _below(each, public=public))


def with_changed(value: Any, path: tuple[Step, ...], random: Random) -> Any:
    """The same record with another value at `path`."""
    if not path:
        return another(value, random)
    step, *rest = path
    if isinstance(step, int):
        items = list(value)
        items[step] = with_changed(items[step], tuple(rest), random)
        return tuple(items)
    return value.model_copy(update={step: with_changed(getattr(value, step), tuple(rest), random)})


def another(value: Any, random: Random) -> Any:
    """A value of the same kind that is not the same."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value + random.randint(1, 99)
    if isinstance(value, datetime.date):
        return value + datetime.timedelta(days=random.randint(1, 999))
    if isinstance(value, Reading):
        return Reading(text=noise(random))
    if isinstance(value, tuple):
        words = all(isinstance(each, str) for each in value)
        return (noise(random), *value) if words else value[1:]
    if isinstance(value, Mapping):
        return {}
    return noise(random) if value is None or isinstance(value, str) else None
