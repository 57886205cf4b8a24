"""What a ranking says at the bench: causes with their cases, what each result did, what comes next.

Numbers are kept in full; where the results contradict everything on record there is a message instead.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from kb.diagnosis.case import Result, last_of_each
from kb.diagnosis.flow import suspects as left_in_flow
from kb.diagnosis.from_shop import Bench, Suspect
from kb.diagnosis.looking_ahead import NextStep, Proposal, after, next_step
from kb.diagnosis.posterior import (
    Effect,
    Verdict,
    effects,
    posterior,
    ranking,
    speaking_against,
    verdict,
    worth_repeating,
)
from kb.diagnosis.ruling_out import without
from kb.records import Check, Fault
from kb.safety import Caution, Cautions
from kb.shop import Shop

LEAST_SAVING_MINUTES = 1.0
"""A check that saves less is not worth a change of plan."""

NOT_RECORDED = "something that is not on record yet"


@dataclass(frozen=True)
class RankedCause:
    """One line of the ranking: no `suspect` is what is not recorded; a contradiction has no `probability`."""

    suspect: Suspect | None
    probability: float | None


@dataclass(frozen=True)
class CheckProposal:
    """An open check with its expectation, and the hazards it names or declares."""

    check: Check
    proposal: Proposal
    cautions: tuple[Caution, ...]


@dataclass(frozen=True)
class Report:
    """The whole answer. `repeat` is the check to make again where the results contradict each other.

    `step` is None in a contradiction, and `effects` are empty then; `if_bad` and `if_good` are what would
    lead after the next check. `ruled_out` are the causes that somebody looked at and that were not it.
    """

    bench: Bench
    results: tuple[Result, ...]
    verdict: Verdict
    causes: tuple[RankedCause, ...]
    proposals: tuple[CheckProposal, ...]
    step: NextStep | None
    effects: tuple[tuple[str, tuple[Effect, ...]], ...]
    if_bad: RankedCause | None
    if_good: RankedCause | None
    cautions: tuple[Caution, ...]
    repeat: str | None
    message: str | None
    ruled_out: tuple[str, ...] = ()


def report(shop: Shop, bench: Bench, results: Sequence[Result], ruled_out: Collection[str] = ()) -> Report:
    """What is likely after `results` and what to do next; a check entered as not done is not proposed.

    Causes that are `ruled_out` by looking at them take no part any more.
    """
    gone = tuple(sorted(set(ruled_out) & bench.suspects.keys()))
    bench = replace(bench, case=without(bench.case, gone))
    held = last_of_each(tuple(results))
    judged = verdict(bench.case, held)
    aside = [result.check for result in held if result.outcome == "not_done"]
    step = None
    if judged != "contradiction":
        step = next_step(bench.case, held, LEAST_SAVING_MINUTES, aside)
    proposals = _proposals(shop, bench, step)
    if_bad, if_good = _branches(bench, held, step)
    repeat = worth_repeating(bench.case, held) if judged == "contradiction" else None
    return Report(
        bench, held, judged, _causes(bench, held, judged), proposals, step,
        tuple((each.check, effects(bench.case, held, each.check) if step else ()) for each in held),
        if_bad, if_good, _cautions(shop, bench, step, proposals, repeat), repeat,
        _message(shop, bench, held, judged, repeat), gone,
    )  # fmt: skip


def check_cautions(shop: Shop, model: str, check: Check) -> tuple[Caution, ...]:
    """What must be known before a check is made: declared by it, its block or the model, or named by it."""
    facts = shop.facts[model]
    declared = (*check.hazards, *facts.block(check.block).hazards, *facts.model.hazards)
    return Cautions().before(check.do, check.good.text, check.note or "", declared=declared)


def _causes(bench: Bench, results: tuple[Result, ...], judged: Verdict) -> tuple[RankedCause, ...]:
    found = posterior(bench.case, results).probabilities
    if judged == "contradiction" or found is None:
        order = ranking(bench.case, bench.case.priors)
        return tuple(RankedCause(_suspect(bench, place), None) for place in order)
    return tuple(RankedCause(_suspect(bench, place), found[place]) for place in ranking(bench.case, found))


def _suspect(bench: Bench, place: int) -> Suspect | None:
    return bench.suspects.get(bench.case.causes[place].id) if place < len(bench.case.causes) else None


def _proposals(shop: Shop, bench: Bench, step: NextStep | None) -> tuple[CheckProposal, ...]:
    return tuple(
        CheckProposal(check, each, check_cautions(shop, bench.model, check))
        for each in (step.proposals if step else ())
        for check in (bench.checks[each.check],)
    )


def _branches(
    bench: Bench, results: tuple[Result, ...], step: NextStep | None
) -> tuple[RankedCause | None, RankedCause | None]:
    """What would lead if the next check is bad, and if it is good."""
    masses = posterior(bench.case, results).probabilities
    if step is None or step.check is None or masses is None:
        return None, None
    failing, passing = after(masses, bench.case.by_check[step.check])
    return _leader(bench, failing.probabilities), _leader(bench, passing.probabilities)


def _leader(bench: Bench, probabilities: tuple[float, ...] | None) -> RankedCause | None:
    if probabilities is None:
        return None
    place = ranking(bench.case, probabilities)[0]
    return RankedCause(_suspect(bench, place), probabilities[place])


def _cautions(
    shop: Shop, bench: Bench, step: NextStep | None, proposals: tuple[CheckProposal, ...], repeat: str | None
) -> tuple[Caution, ...]:
    """The cautions of what is proposed: a check, one to be repeated, or the confirmation of a cause."""
    if repeat is not None:
        return check_cautions(shop, bench.model, bench.checks[repeat])
    if step is None:
        return ()
    if step.check is not None:
        return next(each.cautions for each in proposals if each.check.id == step.check)
    return confirm_cautions(shop, bench.model, bench.suspects[step.confirm]) if step.confirm else ()


def confirm_cautions(shop: Shop, model: str, suspect: Suspect) -> tuple[Caution, ...]:
    """What must be known before a suspect is confirmed: declared or named by fault, block or model."""
    facts = shop.facts[model]
    block = facts.block(suspect.block)
    declared = (*block.hazards, *facts.model.hazards)
    if suspect.kind == "block":
        return Cautions().before(block.name, block.does or "", declared=declared)
    fault = shop.faults[suspect.id].record
    return Cautions().before(*_texts(fault), declared=(*fault.hazards, *declared))


def _texts(fault: Fault) -> tuple[str, ...]:
    return (fault.title, *fault.symptoms, fault.cause, *fault.fix)


def _message(
    shop: Shop, bench: Bench, results: tuple[Result, ...], judged: Verdict, repeat: str | None
) -> str | None:
    if judged == "consistent":
        return None
    flow = _by_flow(shop, bench, results)
    if judged == "contradiction":
        return (
            "These results contradict every cause on record, so no probability is given. Think of a second "
            "fault, a wrong or noisy reading, a loop or a load that is not drawn, or a fault that comes and "
            f"goes.{f' Make {repeat} again first.' if repeat else ''}{flow}"
        )
    if all(speaking_against(bench.case, results)):
        return (
            f"No cause on record fits all results: one reading may be wrong, or this is something new.{flow}"
        )
    return f"{NOT_RECORDED.capitalize()} is likelier than any cause on record.{flow}"


def _by_flow(shop: Shop, bench: Bench, results: tuple[Result, ...]) -> str:
    """Where one fault that explains all results would sit by the signal flow alone."""
    at = {result.check: bench.checks[result.check].block for result in results}
    known = set(bench.flow.blocks)
    good = [at[each.check] for each in results if each.outcome == "pass" and at[each.check] in known]
    bad = [at[each.check] for each in results if each.outcome == "fail" and at[each.check] in known]
    if not bad:
        return ""
    left = left_in_flow(bench.flow, good, bad)
    if not left:
        return " By the signal flow no single block explains them all."
    facts = shop.facts[bench.model]
    named = "; ".join(facts.block(block).name for block in bench.flow.blocks if block in left)
    return f" By the signal flow it would sit in: {named}."
