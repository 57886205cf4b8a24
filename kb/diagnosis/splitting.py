"""Halving what can still be wrong: rules for checks that split the suspects without doubt.

A split is a check with the suspects that make it fail. The best rule for checks of different length is the
smaller share of the suspicion for each minute.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from kb.diagnosis.case import rounded
from kb.diagnosis.flow import Flow, cones
from kb.diagnosis.information import entropy


@dataclass(frozen=True)
class Split:
    """One check: if the fault is among `fails` it fails, otherwise it passes. `access` is opened once."""

    id: str
    minutes: float
    fails: frozenset[str]
    access: str = ""


Suspects = frozenset[str]
Rule = Callable[[Mapping[str, float], Suspects, Sequence[Split]], Split]


def flow_splits(flow: Flow, minutes: Mapping[str, float]) -> tuple[Split, ...]:
    """A split for each block whose output can be checked, in `minutes`."""
    cone = cones(flow)
    return tuple(Split(block, minutes[block], cone[block]) for block in flow.blocks if block in minutes)


def dividing(suspects: Suspects, splits: Iterable[Split]) -> list[Split]:
    """The splits that tell some of the suspects from others."""
    return [split for split in splits if split.fails & suspects and suspects - split.fails]


def share(masses: Mapping[str, float], suspects: Suspects, split: Split) -> float:
    """The share of the suspicion that makes `split` fail."""
    total = sum(masses[each] for each in sorted(suspects))
    return sum(masses[each] for each in sorted(suspects & split.fails)) / total if total > 0 else 0.0


def half_split(masses: Mapping[str, float], suspects: Suspects, splits: Sequence[Split]) -> Split:
    """The split with the largest smaller share for each minute; ties to the shorter, then the first id."""

    def key(split: Split) -> tuple[int, float, str]:
        failing = share(masses, suspects, split)
        return -rounded(min(failing, 1 - failing) / split.minutes), split.minutes, split.id

    return min(splits, key=key)


def bits_per_minute(masses: Mapping[str, float], suspects: Suspects, splits: Sequence[Split]) -> Split:
    """The split that tells most bits for each minute; the same ties."""

    def key(split: Split) -> tuple[int, float, str]:
        failing = share(masses, suspects, split)
        return -rounded(entropy((failing, 1 - failing)) / split.minutes), split.minutes, split.id

    return min(splits, key=key)


def minutes_by_rule(
    masses: Mapping[str, float], splits: Sequence[Split], rule: Rule, suspects: Suspects | None = None
) -> float:
    """The minutes on average until one suspect, or a group that no check tells apart, is left."""
    left = frozenset(masses) if suspects is None else suspects
    useful = dividing(left, splits)
    if not useful:
        return 0.0
    chosen = rule(masses, left, useful)
    weight = sum(masses[each] for each in sorted(left))
    total = chosen.minutes * weight
    for branch in (left & chosen.fails, left - chosen.fails):
        total += minutes_by_rule(masses, splits, rule, branch)
    return total
