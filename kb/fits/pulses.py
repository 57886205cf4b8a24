"""Gates, triggers, clocks and resets: levels and durations by `gate_match`, and the pulses a quarter note.

A socket is taken at the end of its range that is sure, so a margin here is what remains at the worst.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from kb.calculators.gate_verdict import (
    BELOW_GROUND,
    FAULTS,
    MARGINS,
    MOST,
    SMALL,
    SMALL_V,
    STYLES,
    WRONG_STYLE,
    words,
)
from kb.fits.socket import PULSES, Socket, written
from kb.fits.verdict import Fit, Margin

HIGH_FAILS, LOW_FAILS, TOO_SHORT, TOO_HIGH = (fault.word for fault in FAULTS)
OTHER_RATE = "other pulses per quarter note"
# Common practice, no source: a tenth more than the input asks for.
SPARE_PART = 0.1
BELOW_GROUND_V = -0.3
CALCULATOR = "gate_match"
NOTHING = "levels that can be compared"
SHORT_SPARE = "less than a tenth of the needed duration is to spare: parts that age may take it"
_PERCENT_DIGITS = range(2, 10)


def compare(output: Socket, needed: Socket) -> Fit:
    """The verdict on one pair of sockets that carry pulses, or a contact that controls something."""
    values = _values(output, needed)
    margins = _margins(values, needed)
    faults = words(frozenset(values), values)
    if (output.style, needed.style) in STYLES:
        faults.insert(0, WRONG_STYLE)
    if _counts_differ(output, needed):
        faults.append(OTHER_RATE)
    calculation = (CALCULATOR, gate_inputs(output, needed)) if values else None
    missing = tuple(_missing(output, needed)) or (() if values else (NOTHING,))
    return Fit(output, needed, margins, tuple(faults), _cares(output, margins), missing, calculation)


def gate_inputs(output: Socket, needed: Socket) -> dict[str, str]:
    """The inputs of `gate_match` for a pair, as far as the sockets say them."""
    found: dict[str, str | None] = {}
    if "switch" in (output.style, needed.style):
        found |= {"output_style": output.style, "input_style": needed.style}
    if output.style == "voltage":
        found["output_high"] = _level(output, needed)
    found["output_low"] = _written(output.most_low_v, "voltage")
    found["output_duration"] = _written(output.least_duration_s, "time")
    if needed.style == "voltage":
        found["input_high"] = _written(needed.least_high_v, "voltage")
    found["input_low"] = _written(needed.most_low_v, "voltage")
    found["input_duration"] = _written(needed.least_duration_s, "time")
    if needed.style == "voltage" and (needed.most_high_v or 0.0) > 0:
        found["input_most"] = _written(needed.most_high_v, "voltage")
    return {key: text for key, text in found.items() if text is not None}


def _level(output: Socket, needed: Socket) -> str | None:
    """The level that is sure; with its upper end only where the input has a limit, which that could pass."""
    least, most = output.least_high_v, output.most_high_v
    if least is None or least <= 0:
        return _written(least, "voltage")
    text = written(least, "voltage")
    if most is None or needed.most_high_v is None or most <= least:
        return text
    return f"{text} -0/+{_percent(most / least - 1)} %"


def _percent(part: float) -> str:
    """A fraction in percent, cut and not rounded, so that an end on the limit stays within it."""
    for digits in _PERCENT_DIGITS:
        cut = math.floor(part * 100 * 10**digits) / 10**digits
        if part * 100 - cut < 1e-6:
            break
    return f"{cut:.{digits}f}".rstrip("0").rstrip(".")


def _written(value: float | None, dimension: str) -> str | None:
    return None if value is None or (dimension == "time" and value <= 0) else written(value, dimension)


def _values(output: Socket, needed: Socket) -> Mapping[str, float]:
    """The margins by the names they have in `gate_match`, from its own formulas.

    A whole matrix asks for thousands of them, so the sockets' numbers don't become texts first.
    """
    ends = {
        "V_OL": output.most_low_v, "t_O": output.least_duration_s, "V_IL": needed.most_low_v,
        "t_I": needed.least_duration_s,
    }  # fmt: skip
    if "switch" not in (output.style, needed.style):
        ends |= {"V_OH": output.least_high_v, "V_IH": needed.least_high_v}
    known = {name: value for name, value in ends.items() if value is not None}
    found = {
        each.worst: each.expression.evaluate(known)
        for each in MARGINS
        if known.keys() >= set(each.expression.names)
    }
    most_v, limit_v = output.most_high_v, needed.most_high_v
    if "V_OH" in known and limit_v is not None:
        found["m_w"] = MOST.evaluate(
            {"V_IM": limit_v, "V_OH": most_v if most_v is not None else known["V_OH"]}
        )
    return found


def _margins(values: Mapping[str, float], needed: Socket) -> tuple[Margin, ...]:
    spare_s = SPARE_PART * (needed.least_duration_s or 0.0)
    found = [
        Margin(
            each.label, values[each.worst], each.dimension, spare_s if each.dimension == "time" else SMALL_V
        )
        for each in MARGINS
        if each.worst in values
    ]
    if "m_w" in values:
        found.append(Margin("Below the limit", values["m_w"], "voltage"))
    return tuple(found)


def _cares(output: Socket, margins: tuple[Margin, ...]) -> tuple[str, ...]:
    small = [SHORT_SPARE if each.dimension == "time" else SMALL for each in margins if each.is_small]
    lowest = output.low.low if output.low else None
    if lowest is not None and lowest < BELOW_GROUND_V:
        small.append(BELOW_GROUND)
    return tuple(dict.fromkeys(small))


def _counts_differ(output: Socket, needed: Socket) -> bool:
    counts = (output.pulses_per_quarter, needed.pulses_per_quarter)
    return output.carries == needed.carries == "clock" and None not in counts and counts[0] != counts[1]


def _missing(output: Socket, needed: Socket) -> list[str]:
    """What nobody wrote down and the verdict would need."""
    wanted = [("most_low_v", "the level when off")]
    if "switch" not in (output.style, needed.style):
        wanted.insert(0, ("least_high_v", "the level when on"))
    if output.carries in PULSES:
        wanted.append(("least_duration_s", "the duration"))
    ends = ((output, "of the output"), (needed, "of the input"))
    return [f"{what} {whose}" for key, what in wanted for end, whose in ends if getattr(end, key) is None]
