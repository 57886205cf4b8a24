"""The sockets of a shop's models, and a socket found by the name that a command gives it."""

from __future__ import annotations

from collections.abc import Iterator

from kb.fits.socket import Converter, OneShot, Socket
from kb.problems import did_you_mean
from kb.records import Model, Port
from kb.shop import ModelFacts, Shop


class SocketError(ValueError):
    """A reference that leads nowhere; says what is wrong and what would be right."""

    def __init__(self, what: str, advice: str) -> None:
        super().__init__(f"{what}; {advice}")
        self.what, self.advice = what, advice


def sockets_of(facts: ModelFacts) -> tuple[Socket, ...]:
    """Every socket of a model, in the order of the record."""
    return tuple(_socket(facts.id, facts.model, port) for port in facts.model.ports)


def sockets(shop: Shop) -> Iterator[Socket]:
    """Every socket of every model, by the model's name."""
    for facts in sorted(shop.facts.values(), key=lambda each: (each.model.name.lower(), each.id)):
        yield from sockets_of(facts)


def find_socket(shop: Shop, reference: str) -> Socket:
    """The socket that `model/socket` names; raises SocketError."""
    model, slash, port = reference.strip().partition("/")
    if model not in shop.facts:
        raise SocketError(f'there is no model "{model[:40]}"', did_you_mean(model, shop.facts))
    found = {each.id: each for each in sockets_of(shop.facts[model])}
    if port not in found:
        what = f'{model} has no socket "{port[:40]}"' if slash else f'"{model}" names no socket'
        advice = did_you_mean(port, found) if found else "its record has no ports"
        raise SocketError(what, advice)
    return found[port]


def _socket(model_id: str, model: Model, port: Port) -> Socket:
    shot, converter = port.one_shot, port.converter
    return Socket(
        model=model_id, id=port.id, direction=port.direction, carries=port.carries, model_name=model.name,
        name=port.name, style=port.style, high=port.high, low=port.low, duration=port.duration,
        standard=port.standard, pulses_per_quarter=port.pulses_per_quarter, revisions=port.revisions,
        connector=port.connector or "",
        one_shot=OneShot(shot.device, shot.where, shot.resistor.text, shot.capacitor.text) if shot else None,
        converter=Converter(converter.bits, converter.full_scale.text) if converter else None,
    )  # fmt: skip
