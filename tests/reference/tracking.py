"""Check values for tracking and the exponential pair (topic 14)."""

from __future__ import annotations

from tests.reference.checks import Check

READINGS = "0 V=65.41 Hz, 1 V=130.9 Hz, 2 V=262.3 Hz, 3 V=525.6 Hz, 4 V=1053 Hz, 5 V=2109 Hz"
WORKED = {"readings": READINGS, "base_frequency": "65.4064 Hz"}

TRACKING = (
    Check("T14-ls-offset", WORKED, "offset", -0.731750041266821, 1e-06, "computed with numpy.polyfit"),
    Check("T14-ls-maxres", WORKED, "worst_residual", 0.8976698124211424, 1e-06, "same, numpy.polyfit"),
    Check("S14-ls-scale", WORKED, "scale_error", 2.783, 2e-04, "worked with numpy.polyfit"),
    Check("S14-two-point", WORKED, "two_point_scale_error", 2.617, 2e-04, "worked by hand"),
    Check(
        "T14-uncomp-5K", {**WORKED, "adjusted_at": "25 degC", "played_at": "30 degC"}, "drift",
        -19.792182088075183, 1e-06, "uncompensated scale change +5 K, computed",
    ),
    Check(
        "S14-comp-35C",
        {**WORKED, "adjusted_at": "25 degC", "played_at": "35 degC", "compensation": "3300 ppm"}, "drift",
        -0.63, 0.01, "+3300 ppm/K referenced to 25 C leaves -0.63 cents per octave at 35 C, computed",
    ),
)  # fmt: skip

RATIOS = (
    ("T14-expo-20C", 0.02, 20.0, 2.2071729999999996, 1e-04, "matched NPN pair, simulated in ngspice"),
    ("T14-expo-25C", 0.02, 25.0, 2.178061, 1e-04, "matched NPN pair, simulated in ngspice"),
    ("T14-expo-30C", 0.02, 30.0, 2.150276, 1e-04, "matched NPN pair, simulated in ngspice"),
)
"""Id, base voltage, temperature in degrees Celsius, ratio of the currents, tolerance, source."""

THERMAL_MV = (
    ("T14-vt-20", 20.0, 25.2617, 1e-05, "kT/q, CODATA 2018 k and e, computed with scipy.constants"),
    ("T14-vt-25", 25.0, 25.6926, 1e-05, "kT/q, CODATA 2018 k and e, computed with scipy.constants"),
    ("T14-vt-30", 30.0, 26.1234, 1e-05, "kT/q, CODATA 2018 k and e, computed with scipy.constants"),
)
OCTAVE_MV = (
    ("T14-mvoct-25", 25.0, 17.808738779093975, 1e-06, "VT ln2 (the '18 mV/octave' figure), scipy.constants"),
    ("T14-mvoct-30", 30.0, 18.10739279182404, 1e-06, "VT ln2 (the '18 mV/octave' figure), scipy.constants"),
)
"""Id, temperature in degrees Celsius, millivolts, tolerance, source."""

IDEAL_AT = ("T14-3300-at", 3300e-6, 29.880303030303025, 1e-09, "temperature at which 1/T = 3300 ppm/K")
DROOP = (
    "T14-hf-exact",
    1e-06,
    2093.0,
    -3.6196861831061544,
    1e-09,
    "exact period addition, computed with numpy",
)
