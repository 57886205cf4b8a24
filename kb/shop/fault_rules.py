"""What must hold for a fault: its models, revisions, block, checks, parts and relations exist."""

from __future__ import annotations

from collections.abc import Iterator

from kb.problems import Problem, did_you_mean
from kb.reading import Located
from kb.records import Fault
from kb.shop.references import References
from kb.shop.shop import ModelFacts, fault_revisions, split_revision


def broken(fault: Located[Fault], references: References) -> Iterator[Problem]:
    """Every rule this fault breaks."""
    record = fault.record
    yield from references.missing_all(fault, "models", "models", record.models)
    yield from references.missing_all(fault, "related", "faults", record.related)
    for number, identifier in enumerate(record.related):
        if identifier == fault.id:
            yield fault.problem(("related", number), "a fault is not related to itself", "name another one")
    for number, part in enumerate(record.parts):
        yield from references.missing(fault, ("parts", number, "part"), "parts", part.part)
    for number, photo in enumerate(record.photos):
        yield from references.missing_file(fault, ("photos", number), f"photos/{photo}")
    for number, capture in enumerate(record.captures):
        yield from references.missing_file(fault, ("captures", number, "file"), f"captures/{capture.file}")
    yield from _revisions(fault, references)
    for model in record.models:
        if model in references.facts:
            yield from _on_model(fault, references.facts[model])


def _revisions(fault: Located[Fault], references: References) -> Iterator[Problem]:
    """Each revision named is one of the model it is named for."""
    record = fault.record
    if "all" in record.revisions and len(record.revisions) > 1:
        yield fault.problem(("revisions",), '"all" stands beside others', "write all, or name each one")
    for number, text in enumerate(record.revisions):
        if text == "all":
            continue
        model, identifier = split_revision(text, record)
        if model is None:
            yield fault.problem(("revisions", number), f'"{text}" does not say of which model',
                                f"write {record.models[0]}/{text}")  # fmt: skip
        elif model not in record.models:
            yield fault.problem(("revisions", number), f'"{model}" is none of this fault\'s models',
                                did_you_mean(model, record.models))  # fmt: skip
        elif identifier == "all":
            advice = "leave it out: a model that is not named here has the fault on all"
            yield fault.problem(("revisions", number), f'"{text}" is not needed', advice)
        elif model in references.facts and identifier not in references.facts[model].revision_ids:
            known = ("all", *references.facts[model].revision_ids)
            yield fault.problem(("revisions", number), f'there is no revision "{identifier}" of {model}',
                                did_you_mean(identifier, known))  # fmt: skip


def _on_model(fault: Located[Fault], facts: ModelFacts) -> Iterator[Problem]:
    """The block and the checks exist on the model, and the block on one of the revisions at least."""
    record = fault.record
    # A fault whose revisions are all misspelt is on none; that was said already.
    fault_on = set(fault_revisions(record, facts))
    if not facts.has_block(record.block):
        blocks = [block.id for block in facts.model.blocks]
        yield fault.problem(("block",), f'{facts.id} has no block "{record.block}"',
                            did_you_mean(record.block, blocks))  # fmt: skip
    else:
        on = facts.revisions_of(facts.block(record.block).revisions)
        if fault_on and not fault_on & set(on):
            yield fault.problem(("block",), f'no revision this fault is on has the block "{record.block}"',
                                f"{facts.id} has it on {', '.join(on)}")  # fmt: skip
    for number, check in enumerate(record.checks):
        if not facts.has_check(check.check):
            known = [each.id for each in facts.model.checks]
            yield fault.problem(("checks", number, "check"), f'{facts.id} has no check "{check.check}"',
                                did_you_mean(check.check, known))  # fmt: skip
            continue
        made_on = facts.revisions_of(facts.check(check.check).revisions)
        if fault_on and not fault_on & set(made_on):
            yield fault.problem(("checks", number, "check"),
                                f'"{check.check}" is made on no revision this fault is on',
                                f"{facts.id} has it on {', '.join(made_on)}")  # fmt: skip
