"""Notes by name and number, and the two ways in which a voltage stands for a pitch.

Note numbers are those of MIDI 1.0 (C4 is 60); pitch is equal temperament on A4 = 440 Hz (ISO 16).
"""

from __future__ import annotations

import re

from kb.formulas import Expression

FREQUENCY = Expression("440 * 2 ** ((m - 69) / 12)")
CENTS = Expression("1200 * log2(f_2 / f_1)")

VOLT_PER_OCTAVE = "volt_per_octave"
HERTZ_PER_VOLT = "hertz_per_volt"
STANDARDS = (VOLT_PER_OCTAVE, HERTZ_PER_VOLT)

OCTAVE_V = 1.0
"""V_1 in the formulas: the volt that makes an octave."""

TARGET = {
    VOLT_PER_OCTAVE: Expression("V_L + V_1 * n / 12"),
    HERTZ_PER_VOLT: Expression("V_L * 2 ** (n / 12)"),
}
"""The voltage of the note `n` semitones above the one at `V_L`."""

ERROR_CENTS = {
    VOLT_PER_OCTAVE: Expression("1200 * (V_out - V_n) / V_1"),
    HERTZ_PER_VOLT: Expression("1200 * log2(V_out / V_n)"),
}
"""How far the pitch of `V_out` lies from that of `V_n`, in cents, sharp being positive."""

_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
_STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_NOTE = re.compile(r"([A-Ga-g])([#♯b♭]?)(-1|[0-9])")


def note_number(name: str) -> int:
    """The number of `name`, such as 36 for C2; ValueError when it is no note."""
    found = _NOTE.fullmatch(name.strip())
    if found is None:
        raise ValueError(f"{name!r} is not a note")
    letter, sign, octave = found.groups()
    shift = {"": 0, "#": 1, "♯": 1}.get(sign, -1)
    return 12 * (int(octave) + 1) + _STEPS[letter.upper()] + shift


def note_name(number: int) -> str:
    """The name of a note number, sharps only: 37 is C#2."""
    return f"{_NAMES[number % 12]}{number // 12 - 1}"


def read_note(text: str) -> str | None:
    """`text` as a note name written our way, None when it is no note."""
    try:
        return note_name(note_number(text))
    except ValueError:
        return None
