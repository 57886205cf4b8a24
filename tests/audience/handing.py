"""One report of the small shop, and shops that differ in what has no business in it, made by chance."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from random import Random
from typing import Any

from kb.audience.handing_over import hand_over
from kb.audience.handover_fields import goes_home
from kb.pages.handover import report_html
from kb.reading import Located
from kb.records import Reading, Written
from kb.shop import Shop
from tests.audience.mutating import Step, noise, with_changed

JOB = "2026-pacer-0007"
NAMED = {"models": {"pacer"}, "faults": {"pacer-short-pulse"}, "parts": {"one-shot"}, "jobs": {JOB}}
"""The records that this job names, and the job itself."""

KINDS = ("models", "faults", "parts", "guides", "jobs", "calculators")


def report(shop: Shop, job: str = JOB) -> str:
    """The report of a job; there must be no problem."""
    found, problems = hand_over(shop, job)
    assert found is not None, "\n".join(map(str, problems))
    page, problems = report_html(found)
    assert page is not None, "\n".join(map(str, problems))
    return page.decode()


def complaints(shop: Shop, job: str = JOB) -> list[str]:
    """Everything that keeps the report from being made."""
    found, problems = hand_over(shop, job)
    if found is not None:
        _, problems = report_html(found)
    return [str(each) for each in problems]


def with_record(shop: Shop, kind: str, identifier: str, record: Written) -> Shop:
    """The shop with one record exchanged."""
    records: Mapping[str, Located[Any]] = getattr(shop, kind)
    return replace(shop, **{kind: {**records, identifier: replace(records[identifier], record=record)}})


def with_job(shop: Shop, **update: Any) -> Shop:
    """The shop with other fields in the job."""
    return with_record(shop, "jobs", JOB, shop.jobs[JOB].record.model_copy(update=update))


def elsewhere_changed(shop: Shop, random: Random) -> Shop:
    """The shop with one to four things changed that the report must not depend on."""
    for _ in range(random.randint(1, 4)):
        shop = random.choice((_field, _field, _field, _card, _removed, _added, _files))(shop, random)
    return shop


def _field(shop: Shop, random: Random) -> Shop:
    kind = random.choice([each for each in KINDS if getattr(shop, each)])
    records: Mapping[str, Located[Any]] = getattr(shop, kind)
    identifier = random.choice(sorted(records))
    record = records[identifier].record
    places = list(outside(record, named=identifier in NAMED.get(kind, ())))
    if not places:
        return shop
    return with_record(shop, kind, identifier, with_changed(record, random.choice(places), random))


def _card(shop: Shop, random: Random) -> Shop:
    places = list(outside(shop.card.record, named=True))
    return replace(
        shop,
        card=replace(shop.card, record=with_changed(shop.card.record, random.choice(places), random)),
    )


def _removed(shop: Shop, random: Random) -> Shop:
    kind = random.choice(KINDS)
    kept = {name: each for name, each in getattr(shop, kind).items() if name in NAMED.get(kind, ())
            or random.random() < 0.5}  # fmt: skip
    return replace(shop, **{kind: kept})


def _added(shop: Shop, random: Random) -> Shop:
    """Another visit of the same unit too, with other words."""
    kind = random.choice([each for each in KINDS if getattr(shop, each)])
    records = getattr(shop, kind)
    original = records[random.choice(sorted(records))]
    new = random.choice("0az") + noise(random)
    return replace(shop, **{kind: {new: replace(original, id=new, file=f"{kind}/{new}.yml"), **records}})


def _files(shop: Shop, random: Random) -> Shop:
    kept = {each for each in shop.data_files if each == "photos/pacer.png" or random.random() < 0.5}
    return replace(shop, data_files=frozenset(kept | {f"photos/{noise(random)}.jpg"}))


def outside(record: Written, *, named: bool) -> Iterator[tuple[Step, ...]]:
    """The paths of everything in a record that may not decide a report."""
    for name in type(record).model_fields:
        inside = named and goes_home(type(record), name)
        if not inside:
            yield (name,)
        yield from ((name, *rest) for rest in _below(getattr(record, name), named=inside))


def _below(value: Any, *, named: bool) -> Iterator[tuple[Step, ...]]:
    if isinstance(value, Written) and not isinstance(value, Reading):
        yield from outside(value, named=named)
    elif isinstance(value, tuple):
        for number, each in enumerate(value):
            yield from ((number, *rest) for rest in _below(each, named=named))
