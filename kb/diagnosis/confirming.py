"""In which order to confirm suspects, and how many minutes that takes on average.

The largest probability for each minute goes first. What has to be opened once competes as a bundle: its
members together against the opening and their own minutes. Causes with one remedy are confirmed together.
Sources: Kadane and Simon, "Optimal strategies for a class of constrained sequential problems" (1977), from
memory; Ottosen and Jensen, "When to test? Troubleshooting with postponed system test" (2010) and their
bottom-up rule for clusters. Both orders were held against every permutation in the tests.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from kb.diagnosis.case import Case, rounded


@dataclass(frozen=True)
class Action:
    """One confirmation: the places of the causes it settles, its minutes, what must be open for it."""

    id: str
    places: tuple[int, ...]
    minutes: float
    access: str = ""


def actions_of(case: Case) -> tuple[Action, ...]:
    """The confirmations of a case: one for each cause, or for all causes with one remedy behind one door.

    Such a group takes as long as the longest of its confirmations.
    """
    groups: dict[tuple[str, str], list[int]] = {}
    for place, cause in enumerate(case.causes):
        key = (f"remedy {cause.remedy}" if cause.remedy else f"cause {cause.id}", cause.access)
        groups.setdefault(key, []).append(place)
    return tuple(
        Action(
            min(case.causes[place].id for place in places),
            tuple(places),
            max(case.causes[place].minutes for place in places),
            access,
        )
        for (_, access), places in groups.items()
    )


class Confirming:
    """The confirmations of one case, asked again and again with other probabilities."""

    def __init__(self, actions: Sequence[Action], opening: Mapping[str, float]) -> None:
        self.actions = tuple(actions)
        self._opening = opening

    def order(self, masses: Sequence[float], opened: Iterable[str] = ()) -> tuple[Action, ...]:
        """The actions in the order that takes the fewest minutes on average."""
        ranked = self._ranked(masses)
        is_open = {"", *opened}
        ready = [each for each in ranked if each[3].access in is_open]
        closed: dict[str, list[_Ranked]] = {}
        for each in ranked:
            if each[3].access not in is_open:
                closed.setdefault(each[3].access, []).append(each)
        bundles = {access: self._bundle(access, members, masses) for access, members in closed.items()}
        order: list[Action] = []
        while bundles:
            access = min(bundles, key=lambda each: bundles[each][0])
            key, size = bundles[access]
            while ready and ready[0][:3] <= key:
                order.append(ready.pop(0)[3])
            del bundles[access]
            members = closed[access]
            order += [each[3] for each in members[:size]]
            ready = sorted([*ready, *members[size:]], key=_key)
        return (*order, *(each[3] for each in ready))

    def minutes(self, masses: Sequence[float], leak_minutes: float, opened: Iterable[str] = ()) -> float:
        """The minutes to the fault on average in the best order; the last of `masses` is the leak's."""
        opened = tuple(opened)
        return self.minutes_of(self.order(masses, opened), masses, leak_minutes, opened)

    def minutes_of(
        self,
        order: Sequence[Action],
        masses: Sequence[float],
        leak_minutes: float,
        opened: Iterable[str] = (),
    ) -> float:
        """The minutes to the fault on average in the given order."""
        is_open = {"", *opened}
        left, spent = sum(masses), 0.0
        for action in order:
            opening = 0.0
            if action.access not in is_open:
                is_open.add(action.access)
                opening = self._opening.get(action.access, 0.0)
            spent += (opening + action.minutes) * left
            left -= sum([masses[place] for place in action.places])
        return spent + masses[-1] * leak_minutes

    def _ranked(self, masses: Sequence[float]) -> list[_Ranked]:
        ranked = [
            (-rounded(sum([masses[place] for place in action.places]) / action.minutes), action.minutes,
             action.id, action)
            for action in self.actions
        ]  # fmt: skip
        return sorted(ranked, key=_key)

    def _bundle(
        self, access: str, members: Sequence[_Ranked], masses: Sequence[float]
    ) -> tuple[tuple[int, float, str], int]:
        """The key of the best number of members to do once `access` is open, and that number."""
        mass, minutes = 0.0, self._opening.get(access, 0.0)
        best: tuple[tuple[int, float, str], int] | None = None
        for size, (_, _, _, action) in enumerate(members, start=1):
            mass += sum([masses[place] for place in action.places])
            minutes += action.minutes
            key = (-rounded(mass / minutes), minutes, members[0][2])
            if best is None or key < best[0]:
                best = key, size
        assert best is not None  # noqa: S101 - a group without members is never asked about
        return best


_Ranked = tuple[int, float, str, Action]


def _key(ranked: _Ranked) -> tuple[int, float, str]:
    return ranked[:3]
