"""The picture of a measured channel: its trace, the levels and the pulse that was taken, as a figure."""

from __future__ import annotations

import numpy as np

from kb.captures.edges import Trace, trace_of
from kb.captures.envelope import envelope
from kb.captures.measurement import Measurement
from kb.captures.measuring import within_range
from kb.figures.spec import Axis, FigureSpec, Mark, Series
from kb.quantities import show

MOST_GAPS = 20
_FIGURES = 7
_ROOM_FOR_WORDS = 0.1


def picture(measured: Measurement) -> FigureSpec | None:
    """The figure, or None where there is nothing to draw."""
    values, _, _ = within_range(measured.channel.values)
    trace = trace_of(values, measured.capture.time)
    if len(trace.samples) < 2:
        return None
    times, levels = envelope(trace)
    dimension = measured.channel.dimension
    series = [Series(measured.channel.name, _rounded(times), _rounded(levels))]
    return FigureSpec(
        title=f"{measured.channel.name} over time",
        description=_words(measured),
        x=Axis("Time", "time"),
        y=Axis(_axis_label(measured), dimension),
        series=(*series, *_pulse(measured), *_gaps(trace)),
        marks=_marks(measured),
    )


def _rounded(values: tuple[float, ...]) -> tuple[float, ...]:
    """Figures a drawing can show; the rest would only make the page longer."""
    return tuple(float(f"{value:.{_FIGURES}g}") for value in values)


def _axis_label(measured: Measurement) -> str:
    return {"voltage": "Voltage", "current": "Current"}.get(measured.channel.dimension, "Samples")


def _pulse(measured: Measurement) -> tuple[Series, ...]:
    """The measured pulse as a line at the middle level."""
    if measured.shortest is None or measured.states is None:
        return ()
    pulse, level = measured.shortest, measured.states.level(0.5)
    which = "pulse" if measured.pulses == 1 else "shortest pulse"
    label = f"{which} {show(pulse.duration_s, 'time')} at 50 %"
    return (Series(label, (pulse.start_s, pulse.end_s), (level, level)),)


def _gaps(trace: Trace) -> tuple[Series, ...]:
    """The samples at both sides of the gaps, as points: the line between them is not what was there."""
    if trace.holes is None:
        return ()
    after = np.flatnonzero(np.diff(trace.holes)) + 1
    places = np.unique(np.concatenate([after - 1, after]))[: 2 * MOST_GAPS]
    times, levels = trace.times(places).tolist(), trace.samples[places].tolist()
    return (Series("beside a gap", _rounded(tuple(times)), _rounded(tuple(levels)), "points"),)


def _marks(measured: Measurement) -> tuple[Mark, ...]:
    states, dimension = measured.states, measured.channel.dimension
    if states is None or "top" not in measured.estimates:
        return ()
    marks = [
        Mark("horizontal", states.base, f"base {show(states.base, dimension)}"),
        Mark("horizontal", states.top, f"top {show(states.top, dimension)}"),
    ]
    if measured.shortest is not None:
        time = measured.capture.time
        is_wide = measured.shortest.duration_s > _ROOM_FOR_WORDS * (time.end_s - time.start_s)
        words = ("start", "end") if is_wide else ("", "")
        ends = (measured.shortest.start_s, measured.shortest.end_s)
        marks += [Mark("vertical", at, word) for at, word in zip(ends, words, strict=True)]
    return tuple(marks)


def _words(measured: Measurement) -> str:
    """The picture for somebody who cannot see it."""
    time, dimension = measured.capture.time, measured.channel.dimension
    said = [f"{measured.channel.name} over {show(time.end_s - time.start_s, 'time')}."]
    states = measured.states
    if states is None or "top" not in measured.estimates:
        return " ".join((*said, *(f"{each[0].upper()}{each[1:]}." for each in measured.cannot)))
    said.append(f"It goes between {show(states.base, dimension)} and {show(states.top, dimension)}.")
    if measured.shortest is None:
        count = measured.edges
        said.append(
            f"There {'is one transition' if count == 1 else f'are {count} transitions'} and no whole pulse."
        )
    else:
        pulse = measured.shortest
        which = "The pulse" if measured.pulses == 1 else f"The shortest of {measured.pulses} pulses"
        said.append(
            f"{which} begins at {show(pulse.start_s, 'time')} and lasts {show(pulse.duration_s, 'time')}."
        )
    return " ".join(said)
