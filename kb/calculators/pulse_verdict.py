"""Whether a measured pulse works the input it drives, and by what margin, in words.

The comparison is that of the calculator gate_match, with the worst that the uncertainty leaves of each value.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from kb.calculators import gate_match
from kb.calculators.base import CalculationError, InputProblem, Note, Worked
from kb.calculators.gate_verdict import FITS
from kb.calculators.pulse_sources import Needs
from kb.calculators.reading import read
from kb.quantities import show

if TYPE_CHECKING:
    from kb.captures import Measurement

WRONG_WAY_DOWN = "wrong direction: pulses go down, and the input waits for one that goes up"
WRONG_WAY_UP = "wrong direction: pulses go up, and the input waits for a short to ground"
NO_PULSE = "no pulse: nothing in this capture would work the input"
NOT_COMPARED = "not compared: nothing is measured that the input asks for"
_SCANT = 0.2


@dataclass(frozen=True)
class Verdict:
    """The verdict in a line, the margins in SI at worst (None where not compared), and what would cure it."""

    text: str
    level_margin_v: float | None = None
    duration_margin_s: float | None = None
    notes: tuple[Note, ...] = ()


def verdict_on(measured: Measurement, needs: Needs) -> Verdict:
    """What the input makes of the pulse; the shortest of several decides."""
    if measured.kind in ("flat", "noise"):
        return Verdict(NO_PULSE)
    if measured.shortest is not None and measured.goes_up == needs.is_switch:
        return Verdict(WRONG_WAY_UP if needs.is_switch else WRONG_WAY_DOWN)
    given = _given(measured, needs)
    inputs = {key: text for end in (given, _needed(needs, given)) for key, text in end.items()}
    if len(inputs) <= len(_style(needs)):
        return Verdict(NOT_COMPARED)
    try:
        compared = gate_match.work(read(gate_match.CALCULATOR, inputs))
    except CalculationError:
        return Verdict(NOT_COMPARED)
    return _told(compared, measured, needs)


def _given(measured: Measurement, needs: Needs) -> dict[str, str]:
    """What the capture gives at worst."""
    found = measured.estimates
    given = dict(_style(needs))
    if not needs.is_switch and needs.high_v is not None:
        given["output_high"] = _text(found["top"].low, "V")
    if needs.low_v is not None:
        given["output_low"] = _text(found["base"].high, "V")
    if needs.duration_s is not None and "shortest" in found and found["shortest"].low > 0:
        given["output_duration"] = _text(found["shortest"].low, "s")
    return given


def _style(needs: Needs) -> dict[str, str]:
    return {"output_style": "switch", "input_style": "switch"} if needs.is_switch else {}


def _needed(needs: Needs, given: dict[str, str]) -> dict[str, str]:
    """What the input needs of that."""
    pairs = (
        ("output_high", "input_high", needs.high_v, "V"), ("output_low", "input_low", needs.low_v, "V"),
        ("output_duration", "input_duration", needs.duration_s, "s"),
        ("output_high", "input_most", needs.most_v, "V"),
    )  # fmt: skip
    return {key: _text(value, unit) for own, key, value, unit in pairs if own in given and value is not None}


def _text(value: float, unit: str) -> str:
    """A value as a person would write it, without an exponent."""
    return f"{Decimal(repr(value)):f} {unit}"


def _told(compared: Worked, measured: Measurement, needs: Needs) -> Verdict:
    margins = {each.key: each.value for each in compared.results if isinstance(each.value, float)}
    words = next(str(each.value) for each in compared.results if each.key == "verdict")
    name = f" {needs.name}" if needs.name else ""
    said = [f"{words}{name}" if words == FITS else f"does not work{name}: {words}"]
    level, duration = margins.get("level_margin"), margins.get("duration_margin")
    if duration is not None and needs.duration_s is not None:
        said.append(_duration_words(duration, needs.duration_s))
    elif needs.duration_s is not None:
        said.append("its duration could not be measured, so nothing is said of that")
    if level is not None and needs.high_v is not None:
        side = "above" if level >= 0 else "below"
        at = "at least " if measured.estimates["top"].bound else ""
        said.append(
            f"{at}{show(abs(level), 'voltage')} {side} the {show(needs.high_v, 'voltage')} of its high level"
        )
    notes = tuple(note for note in compared.notes if not note.text.startswith("not compared"))
    return Verdict("; ".join(said), level, duration, notes)


def _duration_words(margin_s: float, needed_s: float) -> str:
    needed, far = show(needed_s, "time"), show(abs(margin_s), "time")
    if margin_s < 0:
        return f"{far} short of the {needed} it needs"
    if margin_s < _SCANT * needed_s:
        return f"only {far} longer than the {needed} it needs"
    return f"{far} longer than the {needed} it needs, {(margin_s + needed_s) / needed_s:.1f} times as long"


def needs_written(
    port: Needs | None, high_v: float | None, low_v: float | None, duration_s: float | None
) -> Needs | None:
    """The needs of a port, or those that were written; CalculationError where both are."""
    written = Needs("", high_v, low_v, duration_s)
    if port is None:
        return None if written.is_empty else written
    if not written.is_empty:
        what = "is given beside needs_high, needs_low or needs_duration"
        raise CalculationError(InputProblem("needs", what, "name the port, or write what it needs"))
    if port.is_empty:
        what = f"{port.name} has neither levels nor a duration on record"
        raise CalculationError(InputProblem("needs", what, "write high and duration at the port"))
    return port
