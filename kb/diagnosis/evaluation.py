"""How good the ranking would have been on the shop's own jobs, each judged by what was known before it.

A job never helps to predict itself: jobs that came in later and faults recorded on that day or later are
left out. A fault that was not on record yet counts as the leak. A job is one trial for each fault it found,
however many of its findings tell of that fault.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.diagnosis.case import LEAK, Result
from kb.diagnosis.closeness import ToWords
from kb.diagnosis.from_shop import Bench, bench_for
from kb.diagnosis.history import History, outcomes_of, proven
from kb.diagnosis.posterior import posterior
from kb.diagnosis.scoring import Prediction, Scores, scores
from kb.records import Finding, Job
from kb.shop import Shop
from kb.shop.sight import revisions_of_unit
from kb.shop.symptoms import words_of


@dataclass(frozen=True)
class Trial:
    """One fault found in one job: the ranking from the complaint alone, and the one after the checks.

    `checked` is None where the checks contradicted everything on record.
    """

    job: str
    fault: str
    arrival: Prediction
    checked: Prediction | None
    checks: int


@dataclass(frozen=True)
class Evaluation:
    """All trials in the order of the jobs; `arrival` and `checked` are their scores, each with its n."""

    trials: tuple[Trial, ...]
    arrival: Scores
    checked: Scores


def evaluate(shop: Shop, to_words: ToWords = words_of) -> Evaluation:
    """The scores of the ranking over the jobs of `shop`, in time order.

    Findings whose cure did not hold are left out: nobody knows what their fault was.
    """
    jobs = sorted(shop.jobs.items(), key=lambda each: (each[1].record.received, each[0]))
    history = History(shop)
    trials = tuple(
        _trial(history, identifier, located.record, fault, findings, to_words)
        for identifier, located in jobs
        for fault, findings in proven(located.record).items()
    )
    checked = [trial.checked for trial in trials if trial.checked is not None]
    return Evaluation(trials, scores(trial.arrival for trial in trials), scores(checked))


def _trial(
    history: History, identifier: str, job: Job, fault: str, findings: tuple[Finding, ...], to_words: ToWords
) -> Trial:
    shop = history.shop
    facts = shop.facts[job.model]
    revisions = revisions_of_unit(facts, job)
    bench = bench_for(shop, job.model, revisions, job.complaint, job.received, to_words, history)
    results = _results(shop, job, findings, bench)
    after = posterior(bench.case, results).probabilities
    return Trial(
        identifier,
        fault,
        _prediction(bench, bench.case.priors, fault),
        _prediction(bench, after, fault) if after else None,
        len(results),
    )


def _results(shop: Shop, job: Job, findings: tuple[Finding, ...], bench: Bench) -> tuple[Result, ...]:
    return tuple(
        Result(check, "fail" if bad else "pass")
        for check, bad in outcomes_of(shop, job.model, findings)
        if check in bench.checks
    )


def _prediction(bench: Bench, probabilities: tuple[float, ...], fault: str) -> Prediction:
    named = dict(zip(bench.case.names, probabilities, strict=True))
    return Prediction(named, fault if fault in named else LEAK)
