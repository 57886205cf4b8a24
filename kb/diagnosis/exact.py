"""The best plan of all, worked out backwards: for few suspects and checks without doubt.

It is the yardstick for the quick rules and for exercises. The number of states doubles with each suspect,
so more than fifteen are refused; checks that may mislead would need the whole history and have no place here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from kb.diagnosis.case import rounded
from kb.diagnosis.splitting import Split

MOST_SUSPECTS = 15


class TooManySuspects(ValueError):  # noqa: N818 - it says what it is
    """More suspects than can be worked out exactly."""


@dataclass(frozen=True, order=True)
class Move:
    """One thing to do: `ask` a check, `confirm` a suspect, or start the full `work-up`."""

    kind: str
    id: str


@dataclass(frozen=True)
class Plan:
    """The minutes of the best plan on average, and every first move that begins such a plan."""

    minutes: float
    first: tuple[Move, ...]


@dataclass(frozen=True)
class Puzzle:
    """Suspects with their masses, the checks, and when the search ends.

    With `confirming` minutes it ends when the right suspect was confirmed. Without, it ends when one
    suspect is left, or only such as share a `remedy`, or no check tells them apart. `opening` are the
    minutes to open what checks and confirmations lie behind; breaking a loop is such an opening.
    `unlisted` is the mass of what is not among the suspects: only the work-up finds it.
    """

    masses: Mapping[str, float]
    splits: tuple[Split, ...] = ()
    confirming: Mapping[str, float] | None = None
    behind: Mapping[str, str] = field(default_factory=dict)
    opening: Mapping[str, float] = field(default_factory=dict)
    remedy: Mapping[str, str] = field(default_factory=dict)
    work_up_minutes: float | None = None
    unlisted: float = 0.0


def best_plan(puzzle: Puzzle) -> Plan:
    """The plan with the fewest minutes on average. Raises TooManySuspects."""
    if len(puzzle.masses) > MOST_SUSPECTS:
        raise TooManySuspects(f"{len(puzzle.masses)} suspects; {MOST_SUSPECTS} can be worked out")
    if puzzle.unlisted and puzzle.splits:
        raise ValueError("no check can be certain about what is not listed")
    return _Solver(puzzle).plan()


_State = tuple[int, frozenset[str]]


class _Solver:
    """The value of every state that can be reached: who is left, as bits, and what is open."""

    def __init__(self, puzzle: Puzzle) -> None:
        self._puzzle = puzzle
        self._names = sorted(puzzle.masses)
        self._bit = {name: 1 << place for place, name in enumerate(self._names)}
        self._splits = [(split, self._bits(split.fails)) for split in puzzle.splits]
        self._known: dict[_State, float] = {}

    def plan(self) -> Plan:
        start = ((1 << len(self._names)) - 1, frozenset[str]())
        best = self._value(start)
        first = [move for move, minutes in self._moves(start) if rounded(minutes) == rounded(best)]
        return Plan(best, () if self._is_over(start) else tuple(sorted(first)))

    def _value(self, state: _State) -> float:
        if state not in self._known:
            moves = [] if self._is_over(state) else self._moves(state)
            left = self._puzzle.unlisted * (self._puzzle.work_up_minutes or 0.0)
            self._known[state] = min((minutes for _, minutes in moves), default=left if not state[0] else 0.0)
        return self._known[state]

    def _is_over(self, state: _State) -> bool:
        suspects, _ = state
        if self._puzzle.confirming is not None:
            return not suspects
        remedies = {self._puzzle.remedy.get(name, f" {name}") for name in self._in(suspects)}
        told_apart = any(suspects & fails and suspects & ~fails for _, fails in self._splits)
        return len(remedies) <= 1 or not told_apart

    def _moves(self, state: _State) -> list[tuple[Move, float]]:
        suspects, opened = state
        mass = self._mass(suspects) + self._puzzle.unlisted
        moves = []
        for split, fails in self._splits:
            if suspects & fails and suspects & ~fails:
                minutes, now_open = self._open(split.access, opened)
                rest = self._value((suspects & fails, now_open)) + self._value((suspects & ~fails, now_open))
                moves.append((Move("ask", split.id), (minutes + split.minutes) * mass + rest))
        for name in self._in(suspects) if self._puzzle.confirming is not None else ():
            minutes, now_open = self._open(self._puzzle.behind.get(name, ""), opened)
            rest = self._value((suspects & ~self._bit[name], now_open))
            moves.append((Move("confirm", name), (minutes + self._confirming[name]) * mass + rest))
        if self._puzzle.work_up_minutes is not None:
            moves.append((Move("work-up", ""), self._puzzle.work_up_minutes * mass))
        return moves

    @cached_property
    def _confirming(self) -> Mapping[str, float]:
        return self._puzzle.confirming or {}

    def _open(self, access: str, opened: frozenset[str]) -> tuple[float, frozenset[str]]:
        if not access or access in opened:
            return 0.0, opened
        return self._puzzle.opening.get(access, 0.0), opened | {access}

    def _bits(self, names: frozenset[str]) -> int:
        return sum(self._bit.get(name, 0) for name in names)

    def _in(self, suspects: int) -> list[str]:
        return [name for name in self._names if self._bit[name] & suspects]

    def _mass(self, suspects: int) -> float:
        return sum(self._puzzle.masses[name] for name in self._in(suspects))
