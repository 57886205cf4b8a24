"""Which trimmer to turn, which way and how far: the words for a tracking test.

Sentences only; every number in them comes from the fit. What the trimmers are called is the model's business,
and whoever asks may say it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kb.calculators.base import Note
from kb.calculators.pitch import HERTZ_PER_VOLT
from kb.calculators.tracking_fit import DROOP, OFFSET, SCALE_ERROR, Line, Test
from kb.calculators.working import shown

# Three numbers are fitted with the droop, so fewer readings would always seem to show one.
LEAST_FOR_DROOP = 5
# A droop is believed when it takes away three quarters of the squares.
_CONVINCING = 0.25


def droop(test: Test, line: Line) -> tuple[float, float] | None:
    """The reset that explains the top and the cents it costs the highest note; None with too few readings."""
    if len({reading.voltage_v for reading in test.readings}) < LEAST_FOR_DROOP or not line.squares:
        return None
    reset_s = test.reset_s()
    highest = max(reading.frequency_hz for reading in test.readings)
    return reset_s, DROOP.evaluate({"f": highest, "t_d": reset_s})


def is_droop(test: Test, line: Line, found: tuple[float, float] | None, limit: float) -> bool:
    """Whether a droop explains the readings clearly better than a line alone."""
    if found is None or abs(found[1]) <= limit:
        return False
    return test.line(found[0]).squares < _CONVINCING * line.squares


@dataclass(frozen=True)
class Trimmers:
    """What the trimmers of one instrument are called; a name that is None stands for nobody said it."""

    scale: str | None = None
    offset: str | None = None
    high_end: str | None = None


def advice(
    test: Test,
    line: Line,
    found: tuple[float, float] | None,
    limit: float,
    trimmers: Trimmers = Trimmers(),
) -> Iterator[Note]:
    """What to turn first, then what the numbers rest on."""
    bends = is_droop(test, line, found, limit)
    if bends and found is not None:
        yield from _droop(test, found, limit, trimmers)
    else:
        yield from _scale(test, SCALE_ERROR.evaluate({"b": line.slope}), limit, trimmers)
        yield from _offset(OFFSET.evaluate({"a": line.level}), limit, trimmers)
        if line.worst > limit:
            text = (
                f"up to {_cents(line.worst)} are left whatever the trimmers do: look for a leaking hold "
                "capacitor, a loaded input or steps that are not equal before you turn anything again"
            )
            yield Note("warning", text)
    if len(test.readings) == 2:
        yield Note("note", "two readings always lie on a line: take five or more to see how straight it is")
    yield _two_point(test, line)
    yield Note("note", "let the instrument warm up with its cover on: the scale moves with temperature")


def _scale(test: Test, error: float, limit: float, trimmers: Trimmers) -> Iterator[Note]:
    span = abs(test.asked(test.readings[-1]) - test.asked(test.readings[0]))
    if abs(error) * span <= limit:
        its = trimmers.scale or "its trimmer"
        yield Note("note", f"the scale is within the limit over these readings: leave {its} alone")
        return
    way, lose, turn = ("wide", "lost", "down") if error > 0 else ("narrow", "gained", "up")
    if test.standard == HERTZ_PER_VOLT:
        text = (
            f"octaves are {_cents(abs(error))} too {way}; with hertz per volt that tilt is an error at the "
            f"zero end: trim {trimmers.offset or 'zero (offset)'} on the lowest note first, then "
            f"{trimmers.scale or 'the scale'} on the highest"
        )
    elif trimmers.scale:
        text = (
            f"octaves are too {way}: turn {trimmers.scale} so that each has {lose} {_cents(abs(error))} and, "
            f"over these readings, the top comes {turn} by {_cents(abs(error) * span)} against the bottom"
        )
    else:
        text = (
            f"octaves are too {way}: adjust the scale trimmer until each has {lose} {_cents(abs(error))}, so "
            f"that over these readings the top comes {turn} by {_cents(abs(error) * span)} against the bottom"
        )
    yield Note("note", text)


def _offset(offset: float, limit: float, trimmers: Trimmers) -> Iterator[Note]:
    if abs(offset) <= limit:
        return
    side, turn = ("sharp", "down") if offset > 0 else ("flat", "up")
    yield Note(
        "note",
        f"the base note is {_cents(abs(offset))} {side}: after {trimmers.scale or 'the scale'}, bring it "
        f"{turn} with {trimmers.offset or 'the tuning or offset trimmer'}",
    )


def _droop(test: Test, found: tuple[float, float], limit: float, trimmers: Trimmers) -> Iterator[Note]:
    reset_s, cents = found
    straight = test.line(reset_s)
    scale = SCALE_ERROR.evaluate({"b": straight.slope})
    if cents < 0:
        text = (
            f"the top droops: a reset of {shown(reset_s, 'time')} explains {_cents(abs(cents))} flat at the "
            f"highest note. Turn {trimmers.high_end or 'the high-frequency trimmer'} for that; "
            f"{trimmers.scale or 'the scale trimmer'} would spoil the octaves below"
        )
    else:
        high_end = trimmers.high_end or "the high-frequency trim"
        text = f"the top runs {_cents(cents)} sharp beyond the scale: {high_end} goes too far"
    yield Note("warning", text)
    yield Note("note", f"with that taken out the scale error is {_signed(scale)} per octave")
    yield from _scale(test, scale, limit, trimmers)


def _two_point(test: Test, line: Line) -> Note:
    ends, fitted = test.two_point(), SCALE_ERROR.evaluate({"b": line.slope})
    return Note(
        "note",
        f"the two end readings alone say {_signed(ends)} per octave, all of them say {_signed(fitted)}; "
        "both are right about what they use, but the ends carry their own errors with them",
    )


def _cents(value: float) -> str:
    return shown(value, "interval")


def _signed(value: float) -> str:
    return f"{'+' if value > 0 else ''}{_cents(value)}"
