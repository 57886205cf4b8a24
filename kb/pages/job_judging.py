"""What a job's readings are worth: held against the model's limits, in words, and by how much.

Nothing is guessed: words that are not those of the check are told as they were written, with the outcome that
somebody wrote beside them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from kb.calculators.working import shown
from kb.diagnosis.judging import is_good
from kb.quantities import Span
from kb.records import Check, Job, Reading
from kb.records.job import CheckOutcome, FinalTest
from kb.shop import ModelFacts

Kind = Literal["good", "bad", "not_done", "open"]
Outcome = Literal["good", "bad", "not_done"]

_NO_SHARE = ("temperature", "interval")
_SIGNS = {"good": "✓", "bad": "✗", "not_done": "–", "open": "?"}


@dataclass(frozen=True)
class Verdict:
    """What a reading says: `words` tell by how much, `contradicts` that good was written of what is not."""

    kind: Kind
    words: str
    contradicts: bool = False

    @property
    def sign(self) -> str:
        """One sign, for those who run down the list."""
        return _SIGNS[self.kind]


@dataclass(frozen=True)
class NotMade:
    """A check of the model that is missing among the final tests; `earlier` is what it gave on the way."""

    check: Check
    earlier: str


def checks_made(job: Job) -> tuple[CheckOutcome | FinalTest, ...]:
    """Every check that a job tells of: those on the way, then those before it went home."""
    return (*(each for finding in job.findings for each in finding.checks), *job.final_tests)


def judged(reading: Reading | None, outcome: Outcome | None, good: Reading) -> Verdict:
    """A reading against what is good; what lies outside never counts as good, whatever was written."""
    if outcome == "not_done":
        return Verdict("not_done", "not made")
    found = is_good(reading, good) if reading else None
    if reading is None or found is None:
        return _by_word(outcome)
    how_far = _how_far(reading.span, good.span) if reading.span and good.span else "as it should be"
    if how_far is None:
        return Verdict("open", "open whether all of it lies within the limits", contradicts=outcome == "good")
    if found:
        if outcome == "bad":
            # Told, but no contradiction: a check may ask for more than its figure tells.
            return Verdict("bad", f"written down as bad, though {how_far}")
        return Verdict("good", f"good, {how_far}")
    if outcome == "good":
        return Verdict("bad", f"written down as good, but {how_far}", contradicts=True)
    return Verdict("bad", f"bad, {how_far}")


def not_made(facts: ModelFacts, job: Job, revisions: tuple[str, ...]) -> list[NotMade]:
    """The model's checks for this unit that no final test made, with what they gave on the way."""
    made = {each.check for each in job.final_tests if each.outcome != "not_done"}
    on_the_way = {
        each.check: each.reading.text if each.reading else (each.outcome or "")
        for finding in job.findings
        for each in finding.checks
        if each.outcome != "not_done"
    }
    return [
        NotMade(check, on_the_way.get(check.id, ""))
        for check in facts.model.checks
        if check.id not in made and is_for(facts, check, revisions)
    ]


def is_for(facts: ModelFacts, check: Check, revisions: tuple[str, ...]) -> bool:
    """Whether a check is made on one of `revisions`; on any where it is not known which."""
    return not revisions or bool(set(facts.revisions_of(check.revisions)) & set(revisions))


def _by_word(outcome: Outcome | None) -> Verdict:
    if outcome is None:
        return Verdict("open", "not judged: no outcome is written, and words cannot be measured")
    return Verdict(outcome, outcome)


def _how_far(reading: Span, good: Span) -> str | None:
    """By how much a reading lies outside, or how much room it leaves; None where only one end is told."""
    below = None if good.low is None or reading.low is None else good.low - reading.low
    above = None if good.high is None or reading.high is None else reading.high - good.high
    if good.low is not None and below is not None and below > 0:
        whole = reading.high is not None and reading.high < good.low
        far = good.low - reading.high if whole and reading.high is not None else below
        return f"{_part(whole)}{_amount(far, good.low, good)} below the least that is good"
    if good.high is not None and above is not None and above > 0:
        whole = reading.low is not None and reading.low > good.high
        far = reading.low - good.high if whole and reading.low is not None else above
        return f"{_part(whole)}{_amount(far, good.high, good)} above the most that is good"
    if (good.low is not None and below is None) or (good.high is not None and above is None):
        return None
    room = min(-each for each in (below, above) if each is not None)
    return "at the very limit" if room == 0 else f"{_difference(room, good.dimension)} inside the limit"


def _part(whole: bool) -> str:
    return "" if whole else "in part, up to "


def _amount(far: float, limit: float, good: Span) -> str:
    share = (
        f" ({far / abs(limit):.0%})".replace("%", " %") if limit and good.dimension not in _NO_SHARE else ""
    )
    return _difference(far, good.dimension) + share


def _difference(far: float, dimension: str) -> str:
    """A difference; one of temperatures is in kelvin, for 5 K apart is not 5 K."""
    return f"{far:.3g} K" if dimension == "temperature" else shown(far, dimension)
