"""How a ranking is shown in a terminal and as JSON. It decides nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from kb.diagnosis.case import LEAK
from kb.diagnosis.looking_ahead import NextStep
from kb.diagnosis.posterior import Effect
from kb.diagnosis.rates import FEWEST_FOR_PERCENT
from kb.diagnosis.report import LEAST_SAVING_MINUTES, NOT_RECORDED, CheckProposal, RankedCause, Report
from kb.safety import DEFERENCE, Caution
from kb.shop import ModelFacts

MOST_CAUSES = 8
MOST_ALTERNATIVES = 4
OUTCOMES = {"pass": "good", "fail": "bad", "not_done": "not_done"}
_NEW = "not on record"

Readings = Mapping[str, str | None]


def as_json(
    report: Report, readings: Readings, note: str | None, serial: str | None, symptoms: Sequence[str]
) -> dict[str, Any]:
    """The ranking as JSON; `probability` is null where there is none to give."""
    bench, step = report.bench, report.step
    return {
        "model": bench.model,
        "revision": bench.revisions[0] if len(bench.revisions) == 1 else None,
        "revisions": list(bench.revisions),
        "serial": serial,
        "symptoms": list(symptoms),
        "verdict": report.verdict,
        "message": report.message,
        "note": note,
        "causes": [_cause(each) for each in report.causes],
        "checks": [_check(each) for each in report.proposals],
        "next": step.check if step else None,
        "confirm": step.confirm if step else None,
        "repeat": report.repeat,
        "expected_minutes": step.base_minutes - step.saves_minutes if step else None,
        "minutes_without_checks": step.base_minutes if step else None,
        "if_bad": _lead(report.if_bad),
        "if_good": _lead(report.if_good),
        "cautions": [_caution(each) for each in report.cautions],
        "outcomes": _outcomes(report, readings),
        "ruled_out": list(report.ruled_out),
    }


def as_lines(facts: ModelFacts, report: Report, readings: Readings, note: str | None) -> Iterator[str]:
    """The ranking as text, line by line."""
    revisions = report.bench.revisions
    known = f", revision {revisions[0]}" if len(revisions) == 1 else ""
    yield f"{facts.model.name} ({facts.id}){known}"
    if note:
        yield f"  {note}"
    if report.message:
        yield f"\n{report.message}"
    yield from _cause_lines(report)
    yield from _outcome_lines(report, readings)
    yield from _next_lines(report)
    yield from _other_lines(report)


def percent(probability: float) -> str:
    """A probability in whole per cent; the smallest are not rounded to nothing, the largest not to all."""
    if probability < 0.01:
        return "< 1 %"
    return "> 99 %" if probability > 0.99 else f"{100 * probability:.0f} %"


def _cause(cause: RankedCause) -> dict[str, Any]:
    suspect = cause.suspect
    if suspect is None:
        return {"fault": "leak", "kind": "leak", "title": NOT_RECORDED, "probability": cause.probability,
                "count": None, "n": None, "block": None}  # fmt: skip
    return {
        "fault": suspect.id if suspect.kind == "fault" else None,
        "kind": suspect.kind,
        "title": suspect.title,
        "probability": cause.probability,
        "count": suspect.count,
        "n": suspect.n,
        "family": suspect.family,
        "block": suspect.block,
        "confirmed": suspect.confirmed,
    }


def _check(each: CheckProposal) -> dict[str, Any]:
    return {
        "check": each.check.id,
        "block": each.check.block,
        "do": each.check.do,
        "good": each.check.good.text,
        "minutes": each.check.minutes,
        "expected_minutes": each.proposal.expected_minutes,
        "saves_minutes": each.proposal.saves_minutes,
        "fails": each.proposal.fails,
        "hazards": [caution.hazard.id for caution in each.cautions],
    }


def _outcomes(report: Report, readings: Readings) -> list[dict[str, Any]]:
    did = dict(report.effects)
    return [
        {
            "check": result.check,
            "outcome": OUTCOMES[result.outcome],
            "reading": readings.get(result.check),
            "effect": [
                {"fault": "leak" if each.cause == LEAK else each.cause, "before": each.before,
                 "after": each.after, "log_odds": each.log_odds}
                for each in did[result.check]
            ] if result.outcome != "not_done" else [],
        }
        for result in report.results
    ]  # fmt: skip


def _lead(cause: RankedCause | None) -> dict[str, Any] | None:
    if cause is None:
        return None
    return {"fault": cause.suspect.id if cause.suspect else "leak", "probability": cause.probability}


def _caution(caution: Caution) -> dict[str, str]:
    return {"hazard": caution.hazard.id, "title": caution.hazard.title, "text": caution.hazard.shop[0]}


def _cause_lines(report: Report) -> Iterator[str]:
    yield "\nLikely causes" if report.step else "\nCauses on record"
    yield f"  {_basis(report)}"
    for cause in report.causes[:MOST_CAUSES]:
        share = "" if cause.probability is None else f"{percent(cause.probability):>6}  "
        yield f"  {share}{_title(cause)}"
        if cause.suspect:
            yield f"  {' ' * len(share)}{_cases(cause)}"
    if len(report.causes) > MOST_CAUSES:
        yield f"  and {len(report.causes) - MOST_CAUSES} more that are less likely"


def _basis(report: Report) -> str:
    """How many jobs stand behind every share below."""
    jobs = max((suspect.n for suspect in report.bench.suspects.values()), default=0)
    if not jobs:
        return "no job on this model has found one of them yet: from the records of faults and the flow alone"
    few = "; too few to take a per cent at its word" if jobs < FEWEST_FOR_PERCENT else ""
    return f"reckoned from {jobs} {'job' if jobs == 1 else 'jobs'} on this model that found one of them{few}"


def _title(cause: RankedCause) -> str:
    return cause.suspect.title if cause.suspect else NOT_RECORDED


def _cases(cause: RankedCause) -> str:
    suspect = cause.suspect
    assert suspect is not None  # noqa: S101 - asked for recorded causes only
    if suspect.kind == "block":
        return f"{suspect.id}; no fault is on record here"
    found = (
        f"in {suspect.count} of {suspect.n} {'job' if suspect.n == 1 else 'jobs'} here"
        if suspect.count
        else "not found on this model yet"
    )
    doubt = "" if suspect.confirmed else "; cause only suspected"
    return f"{suspect.id}, in {suspect.block}; {found}{doubt}"


def _outcome_lines(report: Report, readings: Readings) -> Iterator[str]:
    if not report.results and not report.ruled_out:
        return
    yield "\nWhat the checks said"
    did = dict(report.effects)
    for cause in report.ruled_out:
        yield f"  {cause}: looked at, and it was not it"
    for result in report.results:
        reading = readings.get(result.check)
        said = f"{OUTCOMES[result.outcome].replace('_', ' ')}{f' ({reading})' if reading else ''}"
        yield f"  {result.check}: {said}{_moved(did[result.check]) if result.outcome != 'not_done' else ''}"


def _moved(effects: tuple[Effect, ...]) -> str:
    """The cause a result helped most and the one it hurt most."""
    if not effects:
        return ""
    up = max(effects, key=lambda each: (each.after - each.before, each.cause))
    down = min(effects, key=lambda each: (each.after - each.before, each.cause))
    said = [
        f"{_NEW if each.cause == LEAK else each.cause} {percent(each.before)} -> {percent(each.after)}"
        for each in dict.fromkeys((up, down))
        if percent(each.before) != percent(each.after)
    ]
    return f"; {', '.join(said)}" if said else "; it changes next to nothing"


def _next_lines(report: Report) -> Iterator[str]:
    step = report.step
    if report.repeat:
        yield f"\nAgain first: {report.repeat}"
        yield from _caution_lines(report.cautions)
        yield from _doing(report, report.repeat)
    elif step and step.check:
        yield f"\nNext check: {step.check}"
        yield from _caution_lines(report.cautions)
        yield from _doing(report, step.check)
        yield from _why(report, step)
    elif step and step.confirm:
        suspect = report.bench.suspects[step.confirm]
        yield f"\nNo further check pays: confirm {suspect.id}, {suspect.title}"
        yield from _caution_lines(report.cautions)
        yield f"  about {step.base_minutes:.0f} minutes to the fault on average"


def _doing(report: Report, identifier: str) -> Iterator[str]:
    check = report.bench.checks[identifier]
    yield f"  {check.do}"
    yield f"  good: {check.good.text}"
    if check.note:
        yield f"  {' '.join(check.note.split())}"


def _why(report: Report, step: NextStep) -> Iterator[str]:
    failing = next(each.proposal.fails for each in report.proposals if each.check.id == step.check)
    saved = f"saves about {step.saves_minutes:.0f} of {step.base_minutes:.0f} minutes"
    yield f"  {saved}; bad with {percent(failing)}"
    for word, lead in (("bad", report.if_bad), ("good", report.if_good)):
        if lead and lead.probability is not None:
            yield f"  if {word}: {_title(lead)}, {percent(lead.probability)}"


def _caution_lines(cautions: Sequence[Caution]) -> Iterator[str]:
    for caution in cautions:
        yield f"  CAUTION {caution.hazard.title}. {caution.hazard.shop[0]}"
    if cautions:
        yield f"  {DEFERENCE}"


def _other_lines(report: Report) -> Iterator[str]:
    chosen = report.step.check if report.step else None
    aside = {result.check for result in report.results}
    others = [each for each in report.proposals if each.check.id != chosen and each.check.id not in aside]
    useful = [each for each in others if each.proposal.saves_minutes >= LEAST_SAVING_MINUTES]
    if useful:
        yield "\nOther checks"
    for each in useful[:MOST_ALTERNATIVES]:
        hazards = ", ".join(caution.hazard.title for caution in each.cautions)
        saved = f"  {each.check.id}: saves about {each.proposal.saves_minutes:.0f} minutes"
        yield f"{saved} ({hazards})" if hazards else saved
