"""Sockets written in a line, for tables and for properties."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from kb.fits import Socket
from kb.quantities import parse_span


def socket(direction: str, high: str = "", low: str = "", lasts: str = "", **more: Any) -> Socket:
    """A socket with its spans as a record writes them; an empty text is not on record."""
    spans = {"high": (high, "voltage"), "low": (low, "voltage"), "duration": (lasts, "time")}
    found = {key: parse_span(text, kind) for key, (text, kind) in spans.items() if text}
    given = {"model": f"{direction}-unit", "id": direction, "carries": "trigger", **found, **more}
    return Socket(direction=direction, **given)


def out(high: str = "4.4 V to 4.9 V", low: str = "<= 0.3 V", lasts: str = ">= 8 ms", **more: Any) -> Socket:
    """An output, a good one unless told otherwise."""
    return socket("out", high, low, lasts, **more)


def into(high: str = ">= 2.5 V", low: str = "<= 0.8 V", lasts: str = ">= 5 ms", **more: Any) -> Socket:
    """An input, an undemanding one unless told otherwise."""
    return socket("in", high, low, lasts, **more)


def millivolts(least: int, most: int) -> st.SearchStrategy[float]:
    """Levels as they are written: no finer than a hundredth of a volt."""
    return st.integers(least // 10, most // 10).map(lambda step: step / 100)


@st.composite
def outputs(draw: st.DrawFn, style: str | None = None) -> Socket:
    """Any output that carries pulses and is on record with all it gives."""
    high, spread = draw(millivolts(2000, 12000)), draw(millivolts(0, 2000))
    low, lasts = draw(millivolts(50, 900)), draw(st.integers(1, 400)) / 10
    return out(
        f"{high} V to {high + spread:.6g} V", f"<= {low} V", f">= {lasts} ms",
        style=style or draw(st.sampled_from(["voltage", "switch"])),
    )  # fmt: skip


@st.composite
def inputs(draw: st.DrawFn) -> Socket:
    """Any input that takes pulses."""
    high, low = draw(millivolts(1500, 9000)), draw(millivolts(500, 1400))
    limit = draw(st.none() | millivolts(0, 6000))
    text = f">= {high} V" if limit is None else f"{high} V to {high + limit:.6g} V"
    lasts = draw(st.integers(1, 300)) / 10
    return into(text, f"<= {low} V", f">= {lasts} ms", style=draw(st.sampled_from(["voltage", "switch"])))
