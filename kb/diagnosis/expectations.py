"""Which checks a fault is expected to fail: as recorded with the fault, else by the signal flow.

A check at the faulty block or after it is expected to fail, any other to pass. An expectation from a
record weighs as much as four outcomes, one from the drawing as two. A drawing says where a signal goes, not
how much of the fault goes with it, so further down it is less sure of a failure.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kb.diagnosis.flow import Flow, cones
from kb.diagnosis.judging import expected_rate
from kb.diagnosis.likelihoods import EXPECTED_TO_FAIL, EXPECTED_TO_PASS
from kb.records import Check, Fault
from kb.shop import ModelFacts

RECORDED_WEIGHT = 4.0
DRAWN_WEIGHT = 2.0
FURTHER_DOWN_TO_FAIL = 0.8
UNKNOWN = 0.5


@dataclass(frozen=True)
class Expectation:
    """P(fail) before any outcome, and how many outcomes it weighs as much as."""

    rate: float
    weight: float


def flow_of(facts: ModelFacts, revisions: tuple[str, ...]) -> Flow:
    """The signal flow of a model on some of its revisions."""

    def has(named: tuple[str, ...]) -> bool:
        return bool(set(facts.revisions_of(named)) & set(revisions))

    blocks = tuple(block for block in facts.model.blocks if has(block.revisions))
    names = {block.id for block in blocks}
    feeds = [
        (block.id, feed.to)
        for block in blocks
        for feed in block.feeds
        if has(feed.revisions) and feed.to in names
    ]
    return Flow(tuple(block.id for block in blocks), tuple(dict.fromkeys(feeds)))


class Expectations:
    """What is expected of every check of one model on some of its revisions."""

    def __init__(self, facts: ModelFacts, revisions: tuple[str, ...]) -> None:
        self.flow = flow_of(facts, revisions)
        self._cones: Mapping[str, frozenset[str]] = cones(self.flow)
        self._of_block: dict[tuple[str, str], Expectation] = {}

    def of_fault(self, fault: Fault, check: Check) -> Expectation:
        """What `check` is expected to do under `fault`."""
        for written in fault.checks:
            rate = expected_rate(written.reads, check.good) if written.check == check.id else None
            if rate is not None:
                return Expectation(rate, RECORDED_WEIGHT)
        return self.of_block(fault.block, check)

    def of_block(self, block: str, check: Check) -> Expectation:
        """What `check` is expected to do if something in `block` is wrong."""
        known = self._of_block.get((block, check.block))
        if known is None:
            known = self._of_block[block, check.block] = self._drawn(block, check)
        return known

    def _drawn(self, block: str, check: Check) -> Expectation:
        cone = self._cones.get(check.block)
        if cone is None or block not in self._cones:
            return Expectation(UNKNOWN, DRAWN_WEIGHT)
        if block not in cone:
            return Expectation(EXPECTED_TO_PASS, DRAWN_WEIGHT)
        rate = EXPECTED_TO_FAIL if block == check.block else FURTHER_DOWN_TO_FAIL
        return Expectation(rate, DRAWN_WEIGHT)
