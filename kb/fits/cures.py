"""From a pair that fails to a row of stages after which it works, each with its calculation.

A cure is only told when the pair was judged again behind it and has no fault left.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from kb.calculators.gate_verdict import WRONG_STYLE
from kb.fits import levels, pitch, pulses
from kb.fits.converting import finer, translator
from kb.fits.levelling import comparator, divider
from kb.fits.pairing import fit
from kb.fits.socket import Socket
from kb.fits.stages import Stage, counter, inverter, transistor
from kb.fits.stretching import added_one_shot, own_one_shot
from kb.fits.verdict import FAILS, Fit

MOST_STAGES = 4
Make = Callable[[Socket, Socket], Stage | None]


@dataclass(frozen=True)
class Cure:
    """The stages in the order the signal meets them, and the pair as it is behind them."""

    stages: tuple[Stage, ...]
    after: Fit


# In the order of the signal, cheapest first. A comparator also prepares levels for a part that is added.
MAKERS: tuple[tuple[frozenset[str], tuple[Make, ...]], ...] = (
    (frozenset({pulses.TOO_SHORT}), (own_one_shot, added_one_shot)),
    (frozenset({WRONG_STYLE}), (transistor, inverter)),
    (frozenset({pulses.TOO_SHORT}), (comparator,)),
    (frozenset({pulses.OTHER_RATE}), (counter, comparator)),
    (frozenset({pulses.HIGH_FAILS, pulses.LOW_FAILS}), (comparator,)),
    (frozenset({pulses.TOO_HIGH, levels.TOO_LOUD}), (divider, comparator)),
    (frozenset({pitch.OTHER_STANDARD}), (translator,)),
    (frozenset({pitch.WRONG_NOTES}), (finer,)),
)


def cure(failing: Fit) -> Cure | None:
    """What makes a failing pair work; None where nothing is known that would, or where it need not."""
    if failing.verdict != FAILS:
        return None
    stages: list[Stage] = []
    now = failing
    while now.verdict == FAILS and len(stages) < MOST_STAGES:
        stage = next(_stages(now, {each.do for each in stages}), None)
        if stage is None:
            return None
        stages.append(stage)
        now = fit(stage.after, failing.input)
    return Cure(tuple(stages), now) if now.works else None


def _stages(now: Fit, done: set[str]) -> Iterator[Stage]:
    for words, makers in MAKERS:
        if words.isdisjoint(now.faults):
            continue
        for make in makers:
            stage = make(now.output, now.input)
            if stage is not None and stage.do not in done:
                yield stage
