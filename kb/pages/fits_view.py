"""What pages say of a pair of sockets: sign and word, margins, addresses, and how a socket is described."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from kb.fits import FAILS, FITS, MARGINAL, UNKNOWN, Fit, Socket, Verdict
from kb.fits.pitch import STANDARDS
from kb.fits.verdict import Margin
from kb.pages.sheet import Desk

SIGNS: Mapping[Verdict, tuple[str, str]] = MappingProxyType(
    {FITS: ("✓", "fits"), MARGINAL: ("≈", "marginal"), FAILS: ("✗", "fails"), UNKNOWN: ("?", "unknown")}
)
"""The sign and the class of each verdict; the word stands beside the sign, never the colour alone."""

ORDER = tuple(SIGNS)
MOST_OPEN_JOBS = 12


@dataclass(frozen=True)
class Shown:
    """A verdict as a page prints it."""

    sign: str
    key: str
    word: str


def shown(verdict: Verdict) -> Shown:
    """The sign, the class and the word of a verdict."""
    return Shown(*SIGNS[verdict], verdict)


def anchor(pair: Fit) -> str:
    """Where a pair stands on the page of the output's model."""
    return f"{pair.output.id}-into-{pair.input.model}-{pair.input.id}"


def page_of(model: str) -> str:
    """The address of a model's page."""
    return f"fits/{model}.html"


def gate_command(pair: Fit) -> str | None:
    """The command that gives this very cell; None where no gate level is compared."""
    if pair.output.kind != "pulses" and "switch" not in (pair.output.style, pair.input.style):
        return None
    return f"halfsplit calc gate_match output={pair.output.reference} input={pair.input.reference}"


def tally(counts: Mapping[Verdict, int]) -> str:
    """3 fit, 1 marginal, 2 do not fit; the word for nothing where there is nothing."""
    words = {FITS: "fit", MARGINAL: "marginal", FAILS: "do not fit", UNKNOWN: "not known"}
    return (
        ", ".join(f"{counts[each]} {words[each]}" for each in ORDER if counts.get(each))
        or "nothing to compare"
    )


def described(socket: Socket) -> str:
    """What a socket gives or needs, in one line."""
    pitch = STANDARDS.get(socket.standard or "")
    rate = socket.pulses_per_quarter
    parts = [
        socket.carries if socket.style == "voltage" else f"{socket.carries}, switch to ground",
        pitch,
        socket.high and f"{'on' if socket.kind == 'pulses' else 'range'} {socket.high.shown}",
        socket.low and f"off {socket.low.shown}",
        socket.duration and f"lasts {socket.duration.shown}",
        f"{rate} pulses a quarter note" if rate else None,
        socket.converter and f"{socket.converter.bits} bits of {socket.converter.full_scale}",
        socket.connector,
    ]
    return " · ".join(each for each in parts if each)


def margins_of(pair: Fit) -> tuple[Margin, ...]:
    """The margins, the least first in the order that decides: what is lacking before what is left."""
    return tuple(sorted(pair.margins, key=lambda each: each.value >= 0))


def bench_data(desk: Desk) -> dict[str, Any]:
    """What the filter needs: which revision a serial tells, and the units of open jobs."""
    shop = desk.shop
    named = {each.model for each in desk.matrix.sockets}
    facts = sorted(
        (each for each in shop.facts.values() if each.id in named), key=lambda each: each.model.name
    )
    return {
        "shop": shop.card.record.name,
        "models": [
            {
                "id": each.id,
                "name": each.model.name,
                "revisions": [
                    {
                        "id": revision,
                        "ranges": [
                            {"prefix": one.prefix, "low": one.low, "high": one.high}
                            for one in each.ranges[revision]
                        ],
                    }
                    for revision in each.revision_ids
                ],
            }
            for each in facts
        ],
        "jobs": [
            {"model": job.record.model, "serial": job.record.serial}
            for job in shop.jobs.values()
            if job.record.returned is None and job.record.model in named
        ][:MOST_OPEN_JOBS],
    }
