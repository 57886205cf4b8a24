"""Whether a measured pulse works the input it drives, and by what margin, in words.

The comparison is that of the calculator gate_match, with the worst that the uncertainty leaves of each value.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from kb.calculators import gate_match
from kb.calculators.base import CalculationError, InputProblem, Note, Worked
from kb.calculators.gate_verdict import FAULTS, FITS
from kb.calculators.pulse_sources import Needs
from kb.calculators.reading import read
from kb.quantities import show

if TYPE_CHECKING:
    from kb.captures import Estimate, Measurement

NO_PULSE, WRONG_WAY, NOT_COMPARED = "no pulse", "wrong direction", "not compared"
LEVELS_FIT = "levels fit, duration not measured"
NOTHING_THERE = "nothing in this capture would work the input"
NOTHING_ASKED = "nothing is measured here that the input asks for"
DOWN = "the pulse goes down from a high rest, and the input waits for one that goes up"
UP = "the pulse goes up from a low rest, and the input waits for a short to ground"
BETWEEN = "the input sees what lies between these pulses: that is what is compared"
OPEN_TOP = "the top is cut off: whether it is more than the input bears is open"
TOO_HIGH = next(fault for fault in FAULTS if fault.word == "level too high")
_SCANT = 0.2


@dataclass(frozen=True)
class Verdict:
    """The verdict in a word or two, the margins in SI at worst (None where not compared), and notes."""

    text: str
    level_margin_v: float | None = None
    duration_margin_s: float | None = None
    notes: tuple[Note, ...] = ()


def verdict_on(measured: Measurement, needs: Needs) -> Verdict:
    """What the input makes of the pulse; the shortest of several decides."""
    if measured.kind in ("flat", "noise"):
        return Verdict(NO_PULSE, notes=(Note("warning", NOTHING_THERE),))
    duration, remarks = _seen(measured, needs)
    if duration is None and measured.shortest is not None:
        return Verdict(WRONG_WAY, notes=(Note("warning", UP if needs.is_switch else DOWN),))
    given = _given(measured, needs, duration)
    inputs = {key: text for end in (given, _needed(needs, given)) for key, text in end.items()}
    try:
        compared = (
            gate_match.work(read(gate_match.CALCULATOR, inputs)) if len(given) > len(_style(needs)) else None
        )
    except CalculationError:
        compared = None
    if compared is None:
        return Verdict(NOT_COMPARED, notes=(*remarks, Note("note", NOTHING_ASKED)))
    return _told(compared, measured, needs, remarks)


def _seen(measured: Measurement, needs: Needs) -> tuple[Estimate | None, tuple[Note, ...]]:
    """The shortest pulse in the direction that the input waits for; between pulses of the other direction."""
    if measured.goes_up != needs.is_switch:
        return measured.estimates.get("shortest"), ()
    found = measured.estimates.get("opposite")
    return found, (Note("note", BETWEEN),) if found else ()


def _given(measured: Measurement, needs: Needs, duration: Estimate | None) -> dict[str, str]:
    """What the capture gives at worst."""
    found = measured.estimates
    given = dict(_style(needs))
    has_levels = measured.channel.dimension == "voltage"
    if not needs.is_switch and needs.high_v is not None and has_levels:
        given["output_high"] = _text(found["top"].low, "V")
    if needs.low_v is not None and has_levels:
        given["output_low"] = _text(found["base"].high, "V")
    if needs.duration_s is not None and duration is not None and duration.low > 0:
        given["output_duration"] = _text(duration.low, "s")
    return given


def _style(needs: Needs) -> dict[str, str]:
    return {"output_style": "switch", "input_style": "switch"} if needs.is_switch else {}


def _needed(needs: Needs, given: dict[str, str]) -> dict[str, str]:
    """What the input needs of that."""
    pairs = (
        ("output_high", "input_high", needs.high_v, "V"), ("output_low", "input_low", needs.low_v, "V"),
        ("output_duration", "input_duration", needs.duration_s, "s"),
    )  # fmt: skip
    return {key: _text(value, unit) for own, key, value, unit in pairs if own in given and value is not None}


def _text(value: float, unit: str) -> str:
    """A value as a person would write it, without an exponent."""
    return f"{Decimal(repr(value)):f} {unit}"


def _told(compared: Worked, measured: Measurement, needs: Needs, remarks: tuple[Note, ...]) -> Verdict:
    margins = {each.key: each.value for each in compared.results if isinstance(each.value, float)}
    found = next(str(each.value) for each in compared.results if each.key == "verdict")
    notes = [note for note in compared.notes if not note.text.startswith("not compared")]
    level, duration = margins.get("level_margin"), margins.get("duration_margin")
    words = [] if found == FITS else [found]
    if needs.most_v is not None and measured.estimates["top"].high > needs.most_v:
        words.append(TOO_HIGH.word)
        notes.append(Note("warning", TOO_HIGH.cure))
    elif needs.most_v is not None and measured.estimates["top"].bound:
        notes.append(Note("warning", OPEN_TOP))
    is_open = needs.duration_s is not None and duration is None
    text = ", ".join(words) or (LEVELS_FIT if is_open else FITS)
    said = _margins(level, duration, measured, needs)
    name = f"{needs.name}: " if needs.name else ""
    first = Note("warning" if words else "note", f"{name}{'; '.join(said)}") if said else None
    return Verdict(text, level, duration, (*((first,) if first else ()), *notes, *remarks))


def _margins(level: float | None, duration: float | None, measured: Measurement, needs: Needs) -> list[str]:
    """The margins in words, at worst."""
    said = []
    if duration is not None and needs.duration_s is not None:
        said.append(_duration_words(duration, needs.duration_s))
    if level is not None and needs.high_v is not None:
        at = "at least " if measured.estimates["top"].bound else ""
        far, needed = show(abs(level), "voltage"), show(needs.high_v, "voltage")
        said.append(f"its top is {at}{far} {'above' if level >= 0 else 'below'} the {needed} needed")
    return said


def _duration_words(margin_s: float, needed_s: float) -> str:
    needed, far = show(needed_s, "time"), show(abs(margin_s), "time")
    if margin_s < 0:
        return f"the pulse is {far} short of the {needed} needed"
    if margin_s < _SCANT * needed_s:
        return f"the pulse is only {far} longer than the {needed} needed"
    times = (margin_s + needed_s) / needed_s
    return f"the pulse is {far} longer than the {needed} needed, {times:.1f} times as long"


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
