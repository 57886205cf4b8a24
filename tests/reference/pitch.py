"""Check values for pitch voltages and converters (topic 5) and for tempo (topic 4)."""

from __future__ import annotations

from tests.reference.checks import Check

HERTZ = (
    ("T5-hz-48", 48, 130.8127826502993, 1e-9),
    ("T5-hz-60", 60, 261.6255653005986, 1e-9),
    ("T5-hz-69", 69, 440.0, 1e-9),
    ("T5-hz-96", 96, 2093.004522404789, 1e-9),
)
"""Id, note number, Hz, tolerance; ISO 16 (A4 = 440 Hz), three libraries agree."""

_TABLE = "public CV/gate table (A1 = 1.000 V; its Hz/V column used whole hertz)"
_MANUAL = "MIDI/CV interface manual"
VOLTS = (
    ("T5-semitone-v", "volt_per_octave", 0.0, 1, 0.0833, 0.0005, _MANUAL),
    ("T5-tab-voct-A1", "volt_per_octave", 1.0, 0, 1.0, 0.0005, _TABLE),
    ("T5-tab-hzv-A1", "hertz_per_volt", 1.0, 0, 1.0, 0.003, _TABLE),
    ("T5-tab-voct-A3", "volt_per_octave", 1.0, 24, 3.0, 0.0005, _TABLE),
    ("T5-tab-hzv-A3", "hertz_per_volt", 1.0, 24, 4.0, 0.003, _TABLE),
    ("T5-tab-hzv-B3", "hertz_per_volt", 1.0, 26, 4.491, 0.003, _TABLE),
    ("T5-tab-voct-C4", "volt_per_octave", 1.0, 27, 3.25, 0.0005, _TABLE),
    ("T5-tab-voct-D4", "volt_per_octave", 1.0, 29, 3.417, 0.0005, _TABLE),
    ("T5-tab-hzv-E4", "hertz_per_volt", 1.0, 31, 6.0, 0.003, _TABLE),
    ("T5-tab-hzv-A4", "hertz_per_volt", 1.0, 36, 8.0, 0.003, _TABLE),
    ("T5-tab-hzv-A5", "hertz_per_volt", 1.0, 48, 16.0, 0.003, _TABLE),
    ("T5-hzv-oct3", "hertz_per_volt", 0.25, 36, 2.0, 1e-9, _MANUAL),
    ("T5-hzv-oct4", "hertz_per_volt", 0.25, 48, 4.0, 1e-9, _MANUAL),
)
"""Id, standard, voltage of the lowest note, semitones above it, volts, tolerance, source."""

TOP_CLIP = ("T5-hzv-topclip", 1024.0, 1023.0, -1.6914843056056243, 1e-9, "8 V note on the top code, computed")

_ENUMERATED = "computed by enumeration (numpy)"


def _octave(bits: int, volts: str, octaves: str, convention: str = "reference") -> dict[str, str]:
    return {"bits": str(bits), "full_scale": volts, "octaves": octaves, "convention": convention}


def _hertz(bits: int, volts: str, convention: str = "reference") -> dict[str, str]:
    return {**_octave(bits, volts, "5", convention), "standard": "hertz_per_volt", "lowest": "0.25 V"}


def _worst(name: str, inputs: dict[str, str], cents: float) -> Check:
    return Check(name, inputs, "worst_error", cents, 1e-6, _ENUMERATED)


CONVERTERS = (
    _worst("S5-dac6-5V-A", _octave(6, "5 V", "5"), 43.75),
    _worst("T5-dac6-5V-B", _octave(6, "5 V", "5", "top_code"), 47.619047619047585),
    _worst("S5-dac8-10V-A", _octave(8, "10 V", "10"), 21.875),
    _worst("T5-dac8-10V-B", _octave(8, "10 V", "10", "top_code"), 23.529411764705866),
    _worst("S5-dac10-5V-A", _octave(10, "5 V", "5"), 2.734375),
    _worst("T5-dac12-10V-A", _octave(12, "10 V", "10"), 1.3671875000003553),
    _worst("T5-dac12-10V-B", _octave(12, "10 V", "10", "top_code"), 1.46520146520146),
    _worst("T5-dac10-HzV-A-full", _hertz(10, "8 V"), 13.686286135165306),
    _worst("T5-dac10-HzV-B", _hertz(10, "8 V", "top_code"), 13.209189948123015),
    Check("S5-dac12-HzV-B", _hertz(12, "8 V", "top_code"), "worst_error", 5.38, 1e-3, _ENUMERATED),
    Check("S5-dac12-HzV-10V", _hertz(12, "10 V"), "worst_error", 7.82, 1e-3, _ENUMERATED),
    Check("T5-halflsb-12A", _octave(12, "10 V", "10"), "half_step_bound", 1.46484375, 1e-9, "computed"),
    Check("S5-halflsb-6A", _octave(6, "5 V", "5"), "half_step_bound", 46.875, 1e-9, "computed"),
    Check("S5-halflsb-16A", _octave(16, "10 V", "5"), "half_step_bound", 0.09155, 1e-4, "computed"),
    Check("S5-halflsb-HzV", _hertz(10, "8 V"), "half_step_bound", 27.26, 1e-3, "negative side, computed"),
    Check("S5-step-8A", _octave(8, "10 V", "10"), "step", 0.0390625, 1e-12, "10/256 V"),
    Check("T5-minbits-voct-10-5", _octave(8, "10 V", "10"), "bits_needed", 11, 0, "600 R / 2^N <= e"),
    Check(
        "T5-minbits-voct-5-3", {**_octave(8, "5 V", "5"), "limit": "3 cents"}, "bits_needed", 10, 0,
        "600 R / 2^N <= e",
    ),
    Check("T5-minbits-hzv-5", _hertz(10, "8 V"), "bits_needed", 13, 0, "half a step at the bottom <= e"),
)  # fmt: skip

_A8, _A6, _A12 = _octave(8, "10 V", "10"), _octave(6, "5 V", "5"), _octave(12, "10 V", "10")
_H10 = HERTZ_10_BIT = _hertz(10, "8 V")
NOTES = (
    ("T5-n8A-7-code", _A8, 7, "code", 15), ("T5-n8A-31-code", _A8, 31, "code", 66),
    ("T5-n8A-60-code", _A8, 60, "code", 128), ("T5-n8A-119-cents", _A8, 119, "error", 6.25),
    ("T5-n6A-1-cents", _A6, 1, "error", -6.25), ("T5-n6A-12-code", _A6, 12, "code", 13),
    ("T5-n6A-12-cents", _A6, 12, "error", 18.75), ("T5-n6A-30-cents", _A6, 30, "error", 0.0),
    ("T5-n6A-59-cents", _A6, 59, "error", 6.25), ("T5-n6A-60-code", _A6, 60, "code", 63),
    ("S5-n6A-60-cents", _A6, 60, "error", -93.75),
    ("T5-nHz10A-0-cents", _H10, 0, "error", 0.0), ("T5-nHz10A-2-code", _H10, 2, "code", 36),
    ("T5-nHz10A-2-cents", _H10, 2, "error", 3.910001731), ("T5-nHz10A-6-code", _H10, 6, "code", 45),
    ("T5-nHz10A-6-cents", _H10, 6, "error", -9.776284404), ("T5-nHz10A-12-code", _H10, 12, "code", 64),
    ("T5-nHz10A-24-cents", _H10, 24, "error", 0.0), ("T5-nHz10A-48-cents", _H10, 48, "error", 0.0),
    ("T5-nHz10A-59-code", _H10, 59, "code", 967), ("T5-nHz10A-59-cents", _H10, 59, "error", 0.846495372),
    ("T5-n12A-1-code", _A12, 1, "code", 34), ("T5-n12A-60-code", _A12, 60, "code", 2048),
    ("T5-n12A-119-code", _A12, 119, "code", 4062),
)  # fmt: skip
"""Id, inputs, note above the lowest, column, expected; computed by enumeration with numpy."""

HALF_STEP_UP = ("T5-hzv-halflsb-bottom-pos", 26.84137563414541, 1e-9, "half a step above 0.25 V, computed")
EXACT = ("T5-dac7-exact96", 0.0, 1e-6, "7 bits of 1/12 V over the whole MIDI range, enumerated")

TEMPO = (
    Check(
        "T4-tempo-120-24", {"bpm": "120 BPM", "pulses_per_quarter": "24"}, "interval", 0.0208333333, 1e-7,
        "MIDI 1.0 timing clock, 24 pulses in a quarter note",
    ),
)  # fmt: skip
SIXTEENTH = ("T4-tempo-16th", 0.125, 1e-12, "6 clocks make a sixteenth; seen in source")
