"""Check values for mains supplies (topic 8)."""

from __future__ import annotations

from tests.reference.checks import Check

MODEL = "diode IS=7.03e-9 N=1.808 RS=0.034 at 27 C, constant-current load, simulated in ngspice"

A = {"secondary": "12 V", "capacitor": "4700 uF", "load": "0.5 A"}
B = {
    "secondary": "15 V", "capacitor": "2200 uF", "load": "0.3 A", "mains_frequency": "60 Hz",
    "rectifier": "centre_tap",
}  # fmt: skip
C = {"secondary": "9 V", "capacitor": "4700 uF", "load": "0.8 A", "regulator": "7805"}

SIMPLE = (
    Check("T8-simple-a", A, "ripple", 1.0638298, 1e-07, "V=I/(2 f C) full wave, formula seen in source"),
    Check("T8-simple-b", B, "ripple", 1.1363636, 1e-07, "V=I/(2 f C) full wave, formula seen in source"),
    Check("S8-simple-A-peak", A, "peak", 15.57, 1e-03, "table of the simulated cases"),
    Check("S8-simple-A-valley", A, "valley", 14.51, 1e-03, "table of the simulated cases"),
    Check("S8-simple-B-peak", B, "peak", 20.51, 1e-03, "table of the simulated cases"),
    Check("S8-simple-C-low", C, "valley_at_low_mains", 8.35, 1e-03, "table of the simulated cases"),
)  # fmt: skip


def _with(case: dict[str, str], ohm: str) -> dict[str, str]:
    return {**case, "source_resistance": ohm}


SIMULATED = (
    Check("T8-sim-A-vmin", _with(A, "0.5 ohm"), "valley", 13.2047, 0.003, MODEL),
    Check("T8-sim-A2-vmax", _with(A, "2 ohm"), "peak", 11.8599, 0.003, MODEL),
    Check("T8-sim-A0-vmax", _with(A, "0.05 ohm"), "peak", 14.909, 0.003, MODEL),
    Check("T8-sim-A0-ripple", _with(A, "0.05 ohm"), "ripple", 0.8545, 0.01, MODEL),
    Check("T8-sim-B-vmin", _with(B, "1 ohm"), "valley", 18.1011, 0.003, MODEL),
    Check("T8-sim-B-vmax", _with(B, "1 ohm"), "peak", 18.9428, 0.003, MODEL),
    Check("T8-sim-B-ripple", _with(B, "1 ohm"), "ripple", 0.8417, 0.01, MODEL),
    Check("T8-sim-Cn-vmax", _with(C, "0.4 ohm"), "peak", 9.7047, 0.003, MODEL),
    Check("S8-sim-C-low", _with(C, "0.4 ohm"), "valley_at_low_mains", 7.37, 0.003, MODEL),
    Check("S8-sim-A2-vmin", _with(A, "2 ohm"), "valley", 11.23, 0.003, MODEL),
    Check("S8-sim-A2-ripple", _with(A, "2 ohm"), "ripple", 0.635, 0.01, MODEL),
)  # fmt: skip

REGULATORS = (
    ("T8-reg-7805-vinmin", "7805", 2.5, 1e-09, "TI LM340 SNOSBT0J: 7.5 V to hold line regulation, IO <= 1 A"),
    (
        "T8-reg-7812-vinmin",
        "7812",
        2.6,
        1e-09,
        "TI LM340 SNOSBT0J: 14.6 V to hold line regulation, IO <= 1 A",
    ),
    (
        "T8-reg-7815-vinmin",
        "7815",
        2.7,
        1e-09,
        "TI LM340 SNOSBT0J: 17.7 V to hold line regulation, IO <= 1 A",
    ),
)
"""Id, regulator, volts above the nominal output, tolerance, source."""

MAINS = (
    ("T8-mains-230lo6", 230.0, 0.06, 216.2, 1e-09, "1995 UK: 230 V +10/-6 %, seen in source (secondary)"),
    ("T8-mains-240lo", 240.0, 0.06, 225.6, 1e-09, "pre-1995 UK 240 V +-6 %, seen in source (secondary)"),
)
"""Id, volts, part below, volts left, tolerance, source."""

REJECTION = (
    "T8-psrr",
    1.064,
    62.0,
    0.8451652417466353e-3,
    1e-09,
    "LM340 7805 ripple rejection min 62 dB, seen",
)
RESERVOIR = (
    "S8-conduction",
    1.0,
    50.0,
    20.0,
    2.0,
    4.28e-3,
    2e-03,
    "4.3 mF per ampere at 20 V, 2 V, published",
)
"""Id, load, mains, peak, ripple, farad, tolerance, source."""
