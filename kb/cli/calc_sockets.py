"""Sockets of the shop in place of levels: `halfsplit calc gate_match output=model/socket input=model/socket`.

What is written beside a socket counts more than what its record says. The cure comes from the same functions
as the pages'.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from kb.cli.loading import shop_or_stop
from kb.fits import Cure, Fit, Socket, cure, fit
from kb.fits.from_shop import SocketError, find_socket
from kb.fits.pulses import gate_inputs
from kb.fits.stages import Step
from kb.pages.calculation_view import command
from kb.records import CalculationText
from kb.shop import Shop

ENDS = {"output": "out", "input": "in"}


@dataclass(frozen=True)
class Connection:
    """What a command means once its sockets are looked up; `pair` where both ends are sockets."""

    references: Mapping[str, str]
    inputs: Mapping[str, str]
    pair: Fit | None = None
    cure: Cure | None = field(default=None)

    def as_json(self) -> dict[str, object]:
        """What is added to a calculation's JSON."""
        found: dict[str, object] = {"sockets": dict(self.references)}
        if self.pair is not None:
            pair = self.pair
            found["fit"] = {
                "verdict": pair.verdict, "faults": list(pair.faults), "missing": list(pair.missing)
            }  # fmt: skip
            found["cure"] = [{"do": do, "commands": commands} for do, commands in self.told()]
        return found

    def told(self) -> list[tuple[str, list[str]]]:
        """Each stage of the cure in words, with the commands that give its parts."""
        stages = self.cure.stages if self.cure else ()
        return [(stage.do, [_command(step) for step in stage.steps]) for stage in stages]


def _command(step: Step) -> str:
    return command(CalculationText(name=step.calculator, inputs=dict(step.inputs)))


def connection(inputs: Mapping[str, str], folder: Path) -> Connection:
    """The levels behind the sockets; raises SocketError with the input that is wrong."""
    shop = shop_or_stop(folder)
    references = {key: inputs[key] for key in ENDS if key in inputs}
    found = {key: _socket(shop, key, reference) for key, reference in references.items()}
    beside = {key: text for key, text in inputs.items() if key not in ENDS}
    output, needed = (found.get(key, _unknown(key, beside)) for key in ENDS)
    texts = gate_inputs(output, needed) | beside
    if len(found) < len(ENDS) or beside:
        return Connection(references, texts)
    pair = fit(output, needed)
    return Connection(references, texts, pair, cure(pair))


def _unknown(key: str, beside: Mapping[str, str]) -> Socket:
    """The end that is described by levels: nothing is known of it here but its style."""
    style = beside.get(f"{key}_style", "voltage").strip().lower()
    return Socket(model="", id="", direction=ENDS[key], carries="trigger", style=style)


def _socket(shop: Shop, key: str, reference: str) -> Socket:
    try:
        found = find_socket(shop, reference)
    except SocketError as error:
        raise SocketError(f"{key}: {error.what}", error.advice) from None
    if found.direction != ENDS[key]:
        way = {"in": "an input", "out": "an output"}[found.direction]
        raise SocketError(f"{key}: {reference} is {way}", f"name an {key} of the model")
    if found.kind != "pulses" and found.style != "switch":
        what = f"{key}: {reference} carries {found.carries} and has no gate levels"
        raise SocketError(what, "for pitch see halfsplit calc dac_pitch, for levels halfsplit calc divider")
    return found
