"""Every output against every input of a shop, judged when asked for and only once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from kb.fits.pairing import fit
from kb.fits.socket import Socket
from kb.fits.verdict import OTHER_KIND, Fit, Verdict


@dataclass(frozen=True)
class Matrix:
    """The sockets of a shop in a fixed order. Sockets of different kinds are not paired: nobody asks."""

    sockets: tuple[Socket, ...]
    _judged: dict[tuple[str, str], Fit] = field(default_factory=dict, repr=False, compare=False)

    @property
    def outputs(self) -> tuple[Socket, ...]:
        """Every output."""
        return tuple(each for each in self.sockets if each.direction == "out")

    @property
    def inputs(self) -> tuple[Socket, ...]:
        """Every input."""
        return tuple(each for each in self.sockets if each.direction == "in")

    def of(self, model: str, direction: str) -> tuple[Socket, ...]:
        """The outputs ("out") or the inputs ("in") of one model."""
        return tuple(each for each in self.sockets if each.model == model and each.direction == direction)

    def pair(self, output: Socket, needed: Socket) -> Fit:
        """The verdict on one pair."""
        key = (output.reference, needed.reference)
        if key not in self._judged:
            self._judged[key] = fit(output, needed)
        return self._judged[key]

    def partners(self, socket: Socket) -> tuple[Fit, ...]:
        """The socket with every one of its kind that faces the other way, its own model's among them."""
        if socket.direction == "out":
            return tuple(self.pair(socket, each) for each in self.inputs if each.kind == socket.kind)
        return tuple(self.pair(each, socket) for each in self.outputs if each.kind == socket.kind)

    def by_partner(self, model: str) -> Mapping[str, Counter[Verdict]]:
        """How often each verdict falls between a model and each other one, either way round."""
        found: dict[str, Counter[Verdict]] = {}
        for own in (each for each in self.sockets if each.model == model):
            for pair in self.partners(own):
                other = pair.input.model if own.direction == "out" else pair.output.model
                if other != model:
                    found.setdefault(other, Counter())[pair.verdict] += 1
        return found


def counted(pairs: Iterable[Fit]) -> Counter[Verdict]:
    """How often each verdict falls; pairs of different kinds are left out."""
    return Counter(each.verdict for each in pairs if each.verdict != OTHER_KIND)
