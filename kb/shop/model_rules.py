"""What must hold within one model: ids that exist, arrows that end somewhere, serials that do not clash."""

from __future__ import annotations

from collections.abc import Iterator

from kb.problems import Problem
from kb.reading import Located
from kb.reading.located import Step
from kb.records import Model
from kb.shop import trim_rules
from kb.shop.references import References, not_among, repeated
from kb.shop.serials import SerialRange, UnreadableSerials, parse_serials


def broken(model: Located[Model], references: References) -> Iterator[Problem]:
    """Every rule this model breaks."""
    record = model.record
    lists = (("revisions", "revision", record.revisions), ("blocks", "block", record.blocks),
             ("checks", "check", record.checks), ("ports", "port", record.ports))  # fmt: skip
    for key, what, items in lists:
        yield from repeated(model, (key,), what, [item.id for item in items])
    if record.supply:
        yield from repeated(model, ("supply", "rails"), "rail", [rail.id for rail in record.supply.rails])
    yield from _revision_names(model)
    yield from _block_names(model)
    yield from _serials(model)
    yield from trim_rules.broken(model)
    for number, block in enumerate(record.blocks):
        for at, part in enumerate(block.parts):
            yield from references.missing(model, ("blocks", number, "parts", at), "parts", part)
    for number, photo in enumerate(record.photos):
        yield from references.missing_file(model, ("photos", number), f"photos/{photo}")


def _revision_names(model: Located[Model]) -> Iterator[Problem]:
    """Every place that may name a revision names one that exists."""
    record = model.record
    known = [revision.id for revision in record.revisions]
    named: list[tuple[tuple[Step, ...], tuple[str, ...]]] = []
    for key in ("blocks", "checks", "ports"):
        items = getattr(record, key)
        named += [((key, number, "revisions"), item.revisions) for number, item in enumerate(items)]
    for number, block in enumerate(record.blocks):
        named += [
            (("blocks", number, "feeds", at, "revisions"), feed.revisions)
            for at, feed in enumerate(block.feeds)
        ]
    for number, revision in enumerate(record.revisions):
        named.append((("revisions", number, "shares_serials_with"), revision.shares_serials_with))
    if record.supply:
        for key in ("rails", "reservoirs"):
            items = getattr(record.supply, key)
            named += [
                (("supply", key, number, "revisions"), item.revisions) for number, item in enumerate(items)
            ]
    for path, identifiers in named:
        for at, identifier in enumerate(identifiers):
            yield from not_among(model, (*path, at), "revision", identifier, known)


def _block_names(model: Located[Model]) -> Iterator[Problem]:
    """Every place that names a block names one that exists."""
    record = model.record
    known = [block.id for block in record.blocks]
    for number, block in enumerate(record.blocks):
        for at, feed in enumerate(block.feeds):
            yield from not_among(model, ("blocks", number, "feeds", at, "to"), "block", feed.to, known)
    for number, check in enumerate(record.checks):
        yield from not_among(model, ("checks", number, "block"), "block", check.block, known)
    for number, port in enumerate(record.ports):
        if port.block:
            yield from not_among(model, ("ports", number, "block"), "block", port.block, known)
    for number, revision in enumerate(record.revisions):
        for at, difference in enumerate(revision.differences):
            path = ("revisions", number, "differences", at, "block")
            yield from not_among(model, path, "block", difference.block, known)


def _serials(model: Located[Model]) -> Iterator[Problem]:
    """Ranges can be read, and two revisions share a serial only where both say how to tell them apart."""
    seen: list[tuple[int, SerialRange]] = []
    revisions = model.record.revisions
    for number, revision in enumerate(revisions):
        if not revision.serials and not revision.by_sight:
            yield model.problem(("revisions", number), f'nothing tells revision "{revision.id}"',
                                "write its serials, or marks under by_sight")  # fmt: skip
        for at, text in enumerate(revision.serials):
            path: tuple[Step, ...] = ("revisions", number, "serials", at)
            try:
                serials = parse_serials(text)
            except UnreadableSerials as error:
                yield model.problem(path, error.what, error.advice)
                continue
            for other, earlier in seen:
                if earlier.overlaps(serials) and not _told_apart(model.record, other, number):
                    what = f'"{text}" overlaps "{earlier.text}" of revision "{revisions[other].id}"'
                    advice = "correct one of them"
                    if other != number:
                        advice += ", or write shares_serials_with and give both marks under by_sight"
                    yield model.problem(path, what, advice)
            seen.append((number, serials))


def _told_apart(model: Model, first: int, second: int) -> bool:
    one, other = model.revisions[first], model.revisions[second]
    declared = other.id in one.shares_serials_with or one.id in other.shares_serials_with
    return first != second and declared and bool(one.by_sight) and bool(other.by_sight)
