"""Check values for converters made of resistors (topic 6)."""

from __future__ import annotations

MIDDLE_STEPS = (
    ("T6-r2r6-msbleg-0.02", 6, 0.02, 0.376236, 1e-04, "MSB leg high by t, rest exact, simulated in ngspice"),
    ("T6-r2r6-msbleg-0.04", 6, 0.04, -0.235296, 1e-04, "MSB leg high by t, rest exact, simulated in ngspice"),
)  # fmt: skip
"""Id, bits, excess of the top leg, step from 31 to 32 in ideal steps, tolerance, source."""

LEG_LIMITS = (
    ("T6-r2r-monolimit-msbleg-4", 4, 14.285714285714286, 1e-09, "step=0 at t=1/(2^(N-1)-1), computed"),
    ("T6-r2r-monolimit-msbleg-12", 12, 0.048851978505129456, 1e-09, "step=0 at t=1/(2^(N-1)-1), computed"),
    ("S6-r2r-monolimit-msbleg-6", 6, 3.23, 2e-03, "step=0 at t=1/(2^(N-1)-1), computed"),
    ("S6-r2r-monolimit-msbleg-8", 8, 0.787, 1e-03, "step=0 at t=1/(2^(N-1)-1), computed"),
    ("S6-r2r-monolimit-msbleg-10", 10, 0.196, 2e-03, "step=0 at t=1/(2^(N-1)-1), computed"),
)
BINARY_LIMITS = (
    ("T6-bw-limit-10", 10, 0.09765625, 0.03, "common 1/2^N matching rule, seen in a public note"),
    ("T6-bw-limit-12", 12, 0.025, 0.03, "common 1/2^N matching rule, seen in a public note"),
)
"""Id, bits, percent, tolerance, source."""

DRAWS = (
    ("T6-mc-8-0.01", 8, "1 %", 2000, 1723, "Python random.Random(12345), computed with numpy nodal solve"),
    ("T6-mc-8-0.005", 8, "0.5 %", 2000, 1994, "Python random.Random(12345), computed with numpy nodal solve"),
    (
        "T6-mc-10-0.005",
        10,
        "0.5 %",
        1000,
        587,
        "Python random.Random(12345), computed with numpy nodal solve",
    ),
)
"""Id, bits, tolerance, trials with seed 12345, how many never step backwards, source."""

DNL = ("T6-dnl-def", (0.0, 1.0, 1.5, 3.0), 1.0, (0.0, -0.5, 0.5), "step minus 1 LSB, computed")
INL = ("T6-inl-def", (0.0, 1.0, 1.5, 3.0), (0.0, 0.0, -0.5, 0.0), "endpoint INL, computed")
STRING_BITS = ("S6-string-1pct", 0.01, 6.64, 1e-03, "Baker Eq. 29.10: 1 % of matching holds 6.64 bits, seen")
