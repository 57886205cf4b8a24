"""The revision comparison of a model: block by block, what each revision carries."""

from __future__ import annotations

from dataclasses import dataclass

from kb.shop import ModelFacts


@dataclass(frozen=True)
class Carried:
    """What one revision carries in one row; `changed` where it differs from the revision before."""

    text: str | None
    changed: bool
    why: str | None = None


@dataclass(frozen=True)
class Row:
    """One part or property of a block over all revisions, in the model's order."""

    block: str
    block_name: str
    what: str
    carried: tuple[Carried, ...]


def compare_revisions(facts: ModelFacts) -> tuple[Row, ...]:
    """A row for each part or property that differs, in the order of the blocks.

    A revision that says nothing about a row carries what the revision before it carried.
    """
    names = {block.id: block.name for block in facts.model.blocks}
    rows: dict[tuple[str, str], None] = {}
    for block in facts.model.blocks:
        absent = len(facts.revisions_of(block.revisions)) < len(facts.revision_ids)
        if absent:
            rows[block.id, ""] = None
        for revision in facts.model.revisions:
            for difference in revision.differences:
                if difference.block == block.id:
                    rows[block.id, difference.what] = None
    return tuple(
        Row(block, names[block], what or "the whole block", _over_revisions(facts, block, what))
        for block, what in rows
    )


def _over_revisions(facts: ModelFacts, block: str, what: str) -> tuple[Carried, ...]:
    if not what:
        return _fitted(facts, block)
    first_was = next(
        difference.was
        for revision in facts.model.revisions
        for difference in revision.differences
        if (difference.block, difference.what) == (block, what)
    )
    present = set(facts.revisions_of(facts.block(block).revisions))
    now = first_was
    carried = []
    for revision in facts.model.revisions:
        why = None
        before = now
        for difference in revision.differences:
            if (difference.block, difference.what) == (block, what):
                now, why = difference.now, difference.why
        if revision.id in present:
            carried.append(Carried(now, now != before, why))
        else:
            carried.append(Carried(None, False))
    return tuple(carried)


def _fitted(facts: ModelFacts, block: str) -> tuple[Carried, ...]:
    present = set(facts.revisions_of(facts.block(block).revisions))
    carried: list[Carried] = []
    for identifier in facts.revision_ids:
        text = "fitted" if identifier in present else "not there"
        carried.append(Carried(text, bool(carried) and carried[-1].text != text))
    return tuple(carried)
