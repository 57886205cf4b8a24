"""Which unit a command is about: a model by id or name, and the revisions its serial leaves open."""

from __future__ import annotations

from dataclasses import dataclass

from kb.cli.asking import refuse
from kb.problems import did_you_mean
from kb.shop import ModelFacts, Shop


@dataclass(frozen=True)
class Unit:
    """A model and the revisions the unit may be of: one where that is known. `note` says what is open."""

    facts: ModelFacts
    revisions: tuple[str, ...]
    note: str | None = None


def model_named(shop: Shop, name: str) -> ModelFacts:  # noqa: RET503 - refuse never returns
    """The model of that id or name, whatever the capitals; near misses are named and the command ends."""
    for identifier, facts in shop.facts.items():
        if name.strip().casefold() in (identifier, facts.model.name.casefold()):
            return facts
    refuse(f'there is no model "{name}"', did_you_mean(name, shop.facts))


def unit_of(shop: Shop, model: str, serial: str | None, revision: str | None) -> Unit:
    """The unit a serial and a revision describe; a revision, told by sight, counts more than a serial."""
    facts = model_named(shop, model)
    told = facts.revisions_for_serial(serial) if serial is not None else ()
    if revision is not None:
        return _seen(facts, revision.strip(), serial, told)
    if serial is None:
        everywhere = len(facts.revision_ids) == 1
        return Unit(facts, facts.revision_ids, None if everywhere else _open(facts.revision_ids))
    if not told:
        refuse(
            f'"{serial}" lies in no serial range of {facts.id}',
            f"correct it, or tell the revision by sight with --revision {' or '.join(facts.revision_ids)}",
        )
    return Unit(facts, told, None if len(told) == 1 else _open(told))


def _seen(facts: ModelFacts, revision: str, serial: str | None, told: tuple[str, ...]) -> Unit:
    if revision not in facts.revision_ids:
        refuse(f'there is no revision "{revision}" of {facts.id}', did_you_mean(revision, facts.revision_ids))
    if serial is None or revision in told:
        return Unit(facts, (revision,))
    ranges = f"a serial of revision {' or '.join(told)}" if told else "in no serial range"
    return Unit(facts, (revision,), f'"{serial}" is {ranges}; taken: revision {revision}, as told by sight')


def _open(revisions: tuple[str, ...]) -> str:
    return f"may be revision {', '.join(revisions[:-1])} or {revisions[-1]}; --revision narrows it"
