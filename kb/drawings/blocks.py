"""The block graph of an instrument as a drawing needs it: what stands in the boxes and what feeds what.

It knows nothing of records; a page turns a model's blocks into these values. It must not lay anything out.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

STATES = ("", "here", "cleared", "suspect", "absent")
OPEN = "open"
"""For a page that tells the state while it is used: the markup of every state stands ready in the block."""


@dataclass(frozen=True)
class FlowBlock:
    """One block: its name as people write it, where its page is, its test point and how it stands."""

    id: str
    name: str
    href: str | None = None
    test_point: str = ""
    state: str = ""

    def __post_init__(self) -> None:
        if self.state not in (*STATES, OPEN):
            raise ValueError(f"block {self.id!r} has the unknown state {self.state!r}; use one of {STATES}")


@dataclass(frozen=True)
class FlowLink:
    """`source` feeds `target`; `label` names the signal where one block sends out several."""

    source: str
    target: str
    label: str = ""


@dataclass(frozen=True)
class Flow:
    """A whole drawing. Block ids are unique and every link joins two of them, or it is a ValueError."""

    blocks: tuple[FlowBlock, ...]
    links: tuple[FlowLink, ...]
    title: str

    def __post_init__(self) -> None:
        if not self.blocks:
            raise ValueError("a flow needs at least one block")
        known = Counter(block.id for block in self.blocks)
        for name, times in known.items():
            if times > 1:
                raise ValueError(f"block id {name!r} is used {times} times; ids must be unique")
        for link in self.links:
            for end in (link.source, link.target):
                if end not in known:
                    raise ValueError(f"a link names the block {end!r}, which the flow does not have")
