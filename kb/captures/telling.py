"""How a file was understood, as words for a person and as plain data for a program."""

from __future__ import annotations

from kb.captures.capture import DECIMAL_WORDS, SEPARATOR_WORDS, Capture, Understood
from kb.captures.measuring import within_range
from kb.captures.states import States
from kb.quantities import show


def summary(capture: Capture) -> str:
    """One line: what the file was taken for."""
    found, time = capture.understood, capture.time
    count = len(capture.channels)
    return (
        f"read as {time.count:,} samples, {show(time.interval_s, 'time', 4)} apart ({time.said_by}), "
        f"{count} {'channel' if count == 1 else 'channels'}; {_signs(found)}, {found.encoding}"
    )


def _signs(found: Understood) -> str:
    return f"separator {SEPARATOR_WORDS[found.separator]}, decimal {DECIMAL_WORDS[found.decimal]}"


def understood_lines(capture: Capture, states: States | None) -> tuple[str, ...]:
    """The same line by line, with gaps and cut levels."""
    found, time = capture.understood, capture.time
    gaps = sum(each.gaps for each in capture.channels) + time.missing
    over = sum(each.over_range for each in capture.channels)
    return (
        f"text: {found.encoding}, {_signs(found)}",
        f"head: {found.header_lines} {'line' if found.header_lines == 1 else 'lines'}",
        *found.columns,
        f"samples: {time.count:,}, {show(time.interval_s, 'time', 6)} apart, from {time.said_by}",
        f"gaps: {f'{gaps:,} samples missing' if gaps else 'none'}",
        f"beyond the range: {f'{over:,} samples' if over else 'none'}; cut off: {_cut(states)}",
        *(f"taken for granted: {each}" for each in found.assumed),
    )


def understood_json(capture: Capture, states: States | None) -> dict[str, object]:
    """Plain data for `--json`, values in SI."""
    found, time = capture.understood, capture.time
    return {
        "file": capture.file,
        "encoding": found.encoding,
        "separator": SEPARATOR_WORDS[found.separator],
        "decimal": DECIMAL_WORDS[found.decimal],
        "header_lines": found.header_lines,
        "columns": list(found.columns),
        "samples": time.count,
        "sample_interval": {"value": time.interval_s, "unit": "s", "from": time.said_by},
        "even": time.is_even,
        "start": {"value": time.start_s, "unit": "s"},
        "missing_rows": time.missing,
        "channels": [
            {"number": each.number, "name": each.name, "unit": each.unit,
             "unit_written": each.is_unit_written, "gaps": each.gaps, "over_range": each.over_range,
             "peaks": _peaks(capture, each.number)}
            for each in capture.channels
        ],
        "clipping": _cut(states),
        "taken_for_granted": list(found.assumed),
    }  # fmt: skip


def _peaks(capture: Capture, number: int) -> list[float]:
    """The least and the greatest sample; nothing where there is none."""
    values, _, _ = within_range(capture.channel(number).values)
    kept = values[values == values]  # noqa: PLR0124 - NaN is not equal to itself
    return [float(kept.min()), float(kept.max())] if len(kept) else []


def _cut(states: States | None) -> str:
    if states is None:
        return "none"
    cut = [word for word, is_cut in (("top", states.clipped_top), ("base", states.clipped_base)) if is_cut]
    return " and ".join(cut) or "none"
