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
from kb.shop.sight import Told, revisions_of_unit, revisions_with, told


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
        if finding.values_of_fault and known and not known.record.values:
            what = f'"{finding.fault}" records no values'
            yield job.problem(("findings", number, "values_of_fault"), what, "write them under values")
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
        yield from _trims(job, facts)


def _revision(job: Located[Job], facts: ModelFacts) -> Iterator[Problem]:
    """Serial and marks lead to one revision, or the record says which one or why none."""
    record = job.record
    try:
        unit = told(facts, record)
    except UnreadableSerials:
        # The model's own problem; what its ranges mean is known once that is put right.
        return
    yield from _strange_marks(job, facts, unit)
    if record.revision and record.revision not in facts.revision_ids:
        yield job.problem(("revision",), f'there is no revision "{record.revision}" of {facts.id}',
                          did_you_mean(record.revision, facts.revision_ids))  # fmt: skip
    elif unit.by_marks == ():
        yield job.problem(("seen",), "no revision has all of these marks", _whose(facts, record))
    elif record.revision:
        yield from _written_revision(job, facts, unit)
    elif not unit.by_serial and not record.outside_because and not _told_by_marks_alone(facts, unit):
        yield _outside(job, facts)
    elif unit.by_serial:
        yield from _serial_and_marks(job, unit)


def _strange_marks(job: Located[Job], facts: ModelFacts, unit: Told) -> Iterator[Problem]:
    known = [mark for revision in facts.model.revisions for mark in revision.by_sight]
    for number in unit.strange:
        mark = job.record.seen[number]
        near = did_you_mean(mark, known)
        advice = near if near.startswith("did you mean") else "write one as it stands there"
        what = f'"{mark[:60]}" is no mark under by_sight of {facts.id}'
        yield job.problem(("seen", number), what, advice)


def _whose(facts: ModelFacts, record: Job) -> str:
    """Which revision each of the marks belongs to."""
    whose = [(mark, revisions_with(facts, mark)) for mark in record.seen]
    told_apart = [f'"{mark[:40]}" belongs to {" and ".join(found)}' for mark, found in whose if found]
    return f"look again: {', '.join(told_apart)}"


def _told_by_marks_alone(facts: ModelFacts, unit: Told) -> bool:
    """Whether the model has no serial ranges, and the marks lead to one revision."""
    return not any(facts.ranges.values()) and len(unit.by_marks or ()) == 1


def _outside(job: Located[Job], facts: ModelFacts) -> Problem:
    what = f'"{job.record.serial[:60]}" lies in no serial range of {facts.id}'
    return job.problem(("serial",), what, "correct it, or write revision and outside_because")


def _written_revision(job: Located[Job], facts: ModelFacts, unit: Told) -> Iterator[Problem]:
    record = job.record
    if record.outside_because:
        return
    if not unit.by_serial and any(facts.ranges.values()):
        yield _outside(job, facts)
    if unit.by_serial and record.revision not in unit.by_serial:
        what = f'"{record.serial[:60]}" is a serial of revision {" or ".join(unit.by_serial)}'
        yield job.problem(("revision",), what, "correct one of them, or write outside_because")
    elif unit.by_marks and record.revision not in unit.by_marks:
        what = f"the marks that were seen are those of revision {' or '.join(unit.by_marks)}"
        yield job.problem(("revision",), what, "correct one of them, or write outside_because")


def _serial_and_marks(job: Located[Job], unit: Told) -> Iterator[Problem]:
    """No revision is written, and the serial lies in one range or in several."""
    serial = job.record.serial[:60]
    if unit.by_marks and not unit.together and not job.record.outside_because:
        by_serial, by_marks = (" or ".join(each) for each in (unit.by_serial, unit.by_marks))
        what = f'"{serial}" is a serial of revision {by_serial}, the marks are those of {by_marks}'
        yield job.problem(("serial",), what, "correct one of them, or write revision and outside_because")
    elif len(unit.together) > 1:
        what = f'"{serial}" may be revision {" or ".join(unit.together)}'
        yield job.problem(("serial",), what, "write under seen which marks it shows, or its revision")


def _checks(job: Located[Job], facts: ModelFacts) -> Iterator[Problem]:
    """Each check is one of the model's, and one that is made on this unit's revision."""
    record = job.record
    revisions = _known_revisions(job.record, facts)
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
        elif revisions and not set(facts.revisions_of(facts.check(check).revisions)) & set(revisions):
            what = f'"{check}" is no check of revision {" or ".join(revisions)}'
            advice = f"it is for {', '.join(facts.revisions_of(facts.check(check).revisions))}; name another"
            yield job.problem(path, what, advice)


def _trims(job: Located[Job], facts: ModelFacts) -> Iterator[Problem]:
    """Each result is of one of the model's trims, one that this unit has."""
    revisions = _known_revisions(job.record, facts)
    calibration = facts.model.calibration
    known = {each.id: each for each in calibration.trims} if calibration else {}
    for number, result in enumerate(job.record.trims):
        path: tuple[Step, ...] = ("trims", number, "trim")
        trim = known.get(result.trim)
        if trim is None:
            yield job.problem(
                path, f'{facts.id} has no trim "{result.trim}"', did_you_mean(result.trim, known)
            )
        elif revisions and not set(facts.revisions_of(trim.revisions)) & set(revisions):
            what = f'"{result.trim}" is no trim of revision {" or ".join(revisions)}'
            yield job.problem(path, what, f"it is for {', '.join(trim.revisions)}; name another")


def _known_revisions(job: Job, facts: ModelFacts) -> tuple[str, ...]:
    """The revisions the unit may be; none where that cannot be told yet."""
    try:
        return tuple(each for each in revisions_of_unit(facts, job) if each in facts.revision_ids)
    except UnreadableSerials:
        return ()
