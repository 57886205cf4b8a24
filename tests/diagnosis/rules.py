"""Rules that technicians use and that the shop's own rule is measured against."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kb.diagnosis.case import rounded
from kb.diagnosis.splitting import Split, Suspects, share


def front_to_back(masses: Mapping[str, float], suspects: Suspects, splits: Sequence[Split]) -> Split:
    """One point after the other along the signal; ids are in its order."""
    del masses, suspects
    return min(splits, key=lambda each: each.id)


def half_by_count(masses: Mapping[str, float], suspects: Suspects, splits: Sequence[Split]) -> Split:
    """The middle point, the lower one of two, however likely the stages are."""
    del masses
    return sorted(splits, key=lambda each: each.id)[(len(suspects) - 2) // 2]


def half_by_mass(masses: Mapping[str, float], suspects: Suspects, splits: Sequence[Split]) -> Split:
    """The point that halves the suspicion best, however long it takes."""

    def key(split: Split) -> tuple[int, float, str]:
        failing = share(masses, suspects, split)
        return -rounded(min(failing, 1 - failing)), split.minutes, split.id

    return min(splits, key=key)
