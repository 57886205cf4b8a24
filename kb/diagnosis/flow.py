"""Which blocks can spoil a reading: cones of a signal flow that may fork, join, loop and load.

A closed loop sees every fault inside it, so its blocks stand together. The cone is for one quantity: a
good level clears nobody of noise.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Flow:
    """Blocks and arrows. `any_of` are joins that need one good input; `loads` can drag a block down."""

    blocks: tuple[str, ...]
    feeds: tuple[tuple[str, str], ...]
    any_of: frozenset[str] = frozenset()
    loads: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def inputs(self) -> dict[str, list[str]]:
        """What feeds each block."""
        found: dict[str, list[str]] = {block: [] for block in self.blocks}
        for source, target in self.feeds:
            found[target].append(source)
        return found


def loops(flow: Flow) -> tuple[tuple[str, ...], ...]:
    """The blocks in groups, sources first: a group of several is a closed loop.

    Tarjan's strongly connected components (1972), walked from the outputs up, without recursion.
    """
    return _Components(flow.blocks, flow.inputs()).found()


def cones(flow: Flow) -> dict[str, frozenset[str]]:
    """For each block the blocks whose single failure makes the reading at its output bad."""
    inputs = flow.inputs()
    found: dict[str, frozenset[str]] = {}
    for group in loops(flow):
        members = frozenset(group)
        arriving = [found[source] for block in group for source in inputs[block] if source not in members]
        own = members.union(*(flow.loads.get(block, ()) for block in group))
        needs_one = len(group) == 1 and group[0] in flow.any_of and arriving
        passed_on = frozenset.intersection(*arriving) if needs_one else frozenset[str]().union(*arriving)
        for block in group:
            found[block] = own | passed_on
    return found


def suspects(flow: Flow, good: Iterable[str], bad: Iterable[str]) -> frozenset[str]:
    """What one permanent fault leaves under suspicion after good and bad readings; empty if they disagree."""
    cone = cones(flow)
    left = frozenset(flow.blocks)
    for block in bad:
        left &= cone[block]
    for block in good:
        left -= cone[block]
    return left


class _Components:
    """One walk over the graph; every component comes out after all that feed it."""

    def __init__(self, blocks: tuple[str, ...], inputs: Mapping[str, list[str]]) -> None:
        self._blocks = blocks
        self._inputs = inputs
        self._number: dict[str, int] = {}
        self._lowest: dict[str, int] = {}
        self._stack: list[str] = []
        self._on_stack: set[str] = set()
        self._groups: list[tuple[str, ...]] = []

    def found(self) -> tuple[tuple[str, ...], ...]:
        for block in self._blocks:
            if block not in self._number:
                self._walk(block)
        return tuple(self._groups)

    def _walk(self, start: str) -> None:
        self._enter(start)
        path = [(start, iter(self._inputs[start]))]
        while path:
            block, ahead = path[-1]
            source = next(ahead, None)
            if source is None:
                path.pop()
                self._leave(block, path[-1][0] if path else None)
            elif source not in self._number:
                self._enter(source)
                path.append((source, iter(self._inputs[source])))
            elif source in self._on_stack:
                self._lowest[block] = min(self._lowest[block], self._number[source])

    def _enter(self, block: str) -> None:
        self._number[block] = self._lowest[block] = len(self._number)
        self._stack.append(block)
        self._on_stack.add(block)

    def _leave(self, block: str, before: str | None) -> None:
        if self._lowest[block] == self._number[block]:
            at = self._stack.index(block)
            group = self._stack[at:]
            del self._stack[at:]
            self._on_stack.difference_update(group)
            self._groups.append(tuple(sorted(group)))
        if before is not None:
            self._lowest[before] = min(self._lowest[before], self._lowest[block])
