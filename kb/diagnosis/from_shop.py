"""From a shop's records to a case: suspects with their counts, checks with what they are expected to give.

Only what is on the unit's revision counts. Where no fault is recorded for it, the blocks themselves are the
suspects, so that the signal flow can still be halved.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from kb.diagnosis.case import Case, Cause, Check
from kb.diagnosis.closeness import ToWords, closeness, shifted
from kb.diagnosis.expectations import Expectation, Expectations
from kb.diagnosis.flow import Flow
from kb.diagnosis.history import Found, History, family_counts, jobs_with, model_counts
from kb.diagnosis.likelihoods import leak_rate, learned_rate
from kb.diagnosis.priors import LEAK_CASES, backed_off
from kb.records import Block, Fault
from kb.records import Check as WrittenCheck
from kb.shop import Shop
from kb.shop.symptoms import words_of

# Common practice, no source; every one of them gives way to what the records say.
CHECK_MINUTES = 5.0
CURE_MINUTES = 30.0
CURE_WEIGHT = 2.0
LEAK_MINUTES = 90.0
OPENING_MINUTES = 10.0
CASE = "case"
"""A check's minutes are those with the case open, so everything lies behind the case."""


@dataclass(frozen=True)
class Suspect:
    """What may be wrong: a recorded fault, or a block where none is recorded.

    It was found in `count` of the `n` jobs on this model that found any of the suspects. `family` is the
    number of jobs on other models that speak for it, which may be a fraction.
    """

    id: str
    kind: Literal["fault", "block"]
    block: str
    count: int
    n: int
    family: float
    written: Fault | Block = field(repr=False, compare=False)

    @property
    def title(self) -> str:
        """What it is called; not read where nobody asks."""
        return self.written.title if self.kind == "fault" else self.written.name  # type: ignore[union-attr]

    @property
    def confirmed(self) -> bool:
        """Whether somebody found it to be the cause; a block makes no claim."""
        return self.kind == "block" or self.written.confirmed  # type: ignore[union-attr]


@dataclass(frozen=True)
class Bench:
    """A case, and what its ids stand for on the bench."""

    model: str
    revisions: tuple[str, ...]
    case: Case
    suspects: Mapping[str, Suspect]
    checks: Mapping[str, WrittenCheck]
    flow: Flow


def bench_for(
    shop: Shop,
    model: str,
    revisions: Sequence[str] = (),
    symptoms: Sequence[str] = (),
    before: datetime.date | None = None,
    to_words: ToWords = words_of,
    history: History | None = None,
) -> Bench:
    """The case of a unit of `model`, on one of `revisions` (any of them if none is given).

    `before` leaves out jobs and faults from that day on; who asks for several cases of one shop gives its
    `history`, so that it is read once. Raises KeyError for a model that is not there.
    """
    return _Bench(history or History(shop), model, revisions, before).made(symptoms, to_words)


class _Bench:
    """One case while it is being made."""

    def __init__(
        self, history: History, model: str, revisions: Sequence[str], before: datetime.date | None
    ) -> None:
        self._shop = history.shop
        self._facts = history.shop.facts[model]
        self._revisions = self._facts.revisions_of(tuple(revisions))
        self._past = history.found(before)
        self._here = [each for each in self._past if each.model == model]
        self._minutes, self._seen = _of_each(self._here, self._past)
        self._faults = self._on_revision(history, before)
        self._expected = Expectations(self._facts, self._revisions)
        self._known = self._known_by_check()

    def made(self, symptoms: Sequence[str], to_words: ToWords) -> Bench:
        suspects = self._suspects()
        priors, leak = self._priors(suspects)
        if symptoms and self._faults:
            told = {identifier: fault.symptoms for identifier, fault in self._faults.items()}
            priors = shifted(priors, closeness(symptoms, told, to_words))
        causes = tuple(self._cause(each, priors[each.id]) for each in suspects.values())
        checks = self._checks()
        made = tuple(self._check(check, suspects, causes) for check in checks.values())
        case = Case(causes, made, leak, LEAK_MINUTES, {CASE: OPENING_MINUTES})
        return Bench(self._facts.id, self._revisions, case, suspects, checks, self._expected.flow)

    def _on_revision(self, history: History, before: datetime.date | None) -> dict[str, Fault]:
        return {
            identifier: fault
            for identifier, fault, revisions in history.faults_on(self._facts.id)
            if not revisions.isdisjoint(self._revisions)
            and (before is None or fault.recorded is None or fault.recorded < before)
        }

    def _known_by_check(self) -> Mapping[str, set[str]]:
        """The faults of which more is known for a check than where they sit: written down, or seen."""
        found: dict[str, set[str]] = {}
        told = ((check.check, fault) for fault, each in self._faults.items() for check in each.checks)
        for check, fault in (*told, *((check, fault) for fault, check in self._seen)):
            found.setdefault(check, set()).add(fault)
        return found

    def _suspects(self) -> dict[str, Suspect]:
        roles = {identifier: self._role(fault.block) for identifier, fault in self._faults.items()}
        if not self._faults:
            roles = {block: self._role(block) for block in self._expected.flow.blocks}
        counts = model_counts(self._here, self._facts.id, roles)
        family = family_counts(self._shop, self._past, self._facts.id, roles)
        jobs = jobs_with(self._here, self._facts.id, roles)
        if not self._faults:
            return {
                block: Suspect(block, "block", block, 0, jobs, family[block], self._facts.block(block))
                for block in roles
            }
        return {
            identifier: Suspect(
                identifier, "fault", fault.block, round(counts[identifier]), jobs, family[identifier], fault
            )
            for identifier, fault in self._faults.items()
        }  # fmt: skip

    def _role(self, block: str) -> str:
        return self._facts.block(block).shared_role

    def _priors(self, suspects: Mapping[str, Suspect]) -> tuple[dict[str, float], float]:
        levels = (
            {identifier: each.family for identifier, each in suspects.items()},
            {identifier: float(each.count) for identifier, each in suspects.items()},
        )
        return backed_off(levels, leak_cases=LEAK_CASES)

    def _cause(self, suspect: Suspect, prior: float) -> Cause:
        if suspect.kind == "block":
            return Cause(suspect.id, prior, CURE_MINUTES, CASE)
        fault = self._faults[suspect.id]
        taken = self._minutes.get(suspect.id, ())
        usual = float(fault.minutes) if fault.minutes else CURE_MINUTES
        minutes = (sum(taken) + CURE_WEIGHT * usual) / (len(taken) + CURE_WEIGHT)
        return Cause(suspect.id, prior, minutes, CASE, _remedy(fault))

    def _checks(self) -> dict[str, WrittenCheck]:
        return {
            check.id: check
            for check in self._facts.model.checks
            if set(self._facts.revisions_of(check.revisions)) & set(self._revisions)
        }

    def _check(
        self, check: WrittenCheck, suspects: Mapping[str, Suspect], causes: tuple[Cause, ...]
    ) -> Check:
        known = self._known.get(check.id, set())
        usual: dict[str, float] = {}
        for block in {each.block for each in suspects.values()}:
            drawn = self._expected.of_block(block, check)
            usual[block] = learned_rate(0, 0, drawn.rate, drawn.weight)
        rows = ((cause.id, suspects[cause.id]) for cause in causes)
        fails = tuple(
            self._rate(suspect, check) if identifier in known else usual[suspect.block]
            for identifier, suspect in rows
        )
        return Check(
            check.id,
            float(check.minutes or CHECK_MINUTES),
            fails,
            leak_rate([cause.prior for cause in causes], fails),
            CASE,
        )

    def _rate(self, suspect: Suspect, check: WrittenCheck) -> float:
        expected = self._expectation(suspect, check)
        fails, passes = self._seen.get((suspect.id, check.id), (0, 0))
        return learned_rate(fails, passes, expected.rate, expected.weight)

    def _expectation(self, suspect: Suspect, check: WrittenCheck) -> Expectation:
        if suspect.kind == "block":
            return self._expected.of_block(suspect.block, check)
        return self._expected.of_fault(self._faults[suspect.id], check)


def _of_each(
    here: Iterable[Found], past: Iterable[Found]
) -> tuple[Mapping[str, Sequence[int]], Mapping[tuple[str, str], tuple[int, int]]]:
    """The minutes that each fault took anywhere, and how often it failed and passed each check here."""
    minutes: dict[str, list[int]] = {}
    for each in past:
        if each.minutes:
            minutes.setdefault(each.fault, []).append(each.minutes)
    seen: dict[tuple[str, str], tuple[int, int]] = {}
    for each in here:
        for check, bad in each.outcomes:
            fails, passes = seen.get((each.fault, check), (0, 0))
            seen[each.fault, check] = (fails + bad, passes + (not bad))
    return minutes, seen


def _remedy(fault: Fault) -> str:
    """What two faults share if one cure settles both: the same parts at the same named places."""
    if not fault.parts or any(part.where is None for part in fault.parts):
        return ""
    return " + ".join(sorted(f"{part.part} at {part.where}" for part in fault.parts))
