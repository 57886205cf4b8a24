"""What must hold for a job: its unit has a revision, and what was found and fitted is on record."""

from __future__ import annotations

from collections.abc import Iterator

from kb.problems import Problem, did_you_mean
from kb.reading import Located
from kb.reading.located import Step
from kb.records import Job
from kb.shop.references import References
from kb.shop.serials import UnreadableSerials
from kb.shop.shop import ModelFacts


def broken(job: Located[Job], references: References) -> Iterator[Problem]:
    """Every rule this job breaks."""
    record = job.record
    yield from references.missing(job, ("model",), "models", record.model)
    for number, finding in enumerate(record.findings):
        yield from references.missing(job, ("findings", number, "fault"), "faults", finding.fault)
        known = references.folder.faults.get(finding.fault)
        if known and record.model not in known.record.models:
            what = f'"{finding.fault}" is no fault of {record.model}'
            advice = f"add {record.model} to its models, or name another fault"
            yield job.problem(("findings", number, "fault"), what, advice)
    for number, part in enumerate(record.parts):
        yield from references.missing(job, ("parts", number, "part"), "parts", part.part)
    for number, photo in enumerate(record.photos):
        yield from references.missing_file(job, ("photos", number, "file"), f"photos/{photo.file}")
    for number, capture in enumerate(record.captures):
        yield from references.missing_file(job, ("captures", number, "file"), f"captures/{capture.file}")
    if record.returned and record.returned < record.received:
        yield job.problem(("returned",), "it went home before it came in", "correct one of the dates")
    facts = references.facts.get(record.model)
    if facts:
        yield from _revision(job, facts)
        yield from _checks(job, facts)


def _revision(job: Located[Job], facts: ModelFacts) -> Iterator[Problem]:
    """The serial leads to one revision, or the record says which one or why none."""
    record = job.record
    try:
        found = facts.revisions_for_serial(record.serial)
    except UnreadableSerials:
        # The model's own problem; what its ranges mean is known once that is put right.
        return
    if record.revision:
        if record.revision not in facts.revision_ids:
            yield job.problem(("revision",), f'there is no revision "{record.revision}" of {facts.id}',
                              did_you_mean(record.revision, facts.revision_ids))  # fmt: skip
        elif found and record.revision not in found and not record.outside_because:
            what = f'"{record.serial[:60]}" is a serial of revision {" or ".join(found)}'
            yield job.problem(("revision",), what, "correct one of them, or write outside_because")
    elif not found and not record.outside_because:
        yield job.problem(("serial",), f'"{record.serial[:60]}" lies in no serial range of {facts.id}',
                          "correct it, or write revision and outside_because")  # fmt: skip
    elif len(found) > 1:
        yield job.problem(("serial",), f'"{record.serial[:60]}" may be revision {" or ".join(found)}',
                          "write the one its marks show under revision")  # fmt: skip


def _checks(job: Located[Job], facts: ModelFacts) -> Iterator[Problem]:
    record = job.record
    named: list[tuple[tuple[Step, ...], str]] = [
        (("final_tests", number, "check"), test.check) for number, test in enumerate(record.final_tests)
    ]
    for number, finding in enumerate(record.findings):
        named += [
            (("findings", number, "checks", at, "check"), outcome.check)
            for at, outcome in enumerate(finding.checks)
        ]
    for path, check in named:
        if not facts.has_check(check):
            known = [each.id for each in facts.model.checks]
            yield job.problem(path, f'{facts.id} has no check "{check}"', did_you_mean(check, known))
