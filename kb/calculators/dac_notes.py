"""What a converter makes of each note: the code, the voltage and the error, by enumeration.

The half-step bound is what a continuous voltage could suffer; the notes themselves are listed one by
one because they may do better or worse than a rule of thumb. No text for a page is made here but the
words of a table's cells.
"""

from __future__ import annotations

from kb.calculators.pitch import ERROR_CENTS, FREQUENCY, TARGET
from kb.calculators.plan import Comparison, PlanTable, Shown, Step
from kb.calculators.plan_tables import Reduction
from kb.formulas import Expression

REFERENCE = "reference"
TOP_CODE = "top_code"

STEP = {
    REFERENCE: Expression("V_F / 2 ** N"),
    TOP_CODE: Expression("V_F / (2 ** N - 1)"),
}
"""The voltage of one step: the full scale is one step above the top code, or it is the top code."""

OUTPUT = Expression("k * V_s")
HALF_STEP_OCTAVE = Expression("600 * V_s / V_1")
# Below a note the same half step is more cents than above it, so this is the larger of the two.
HALF_STEP_HERTZ = Expression("1200 * log2(V_L / (V_L - V_s / 2))")

STEPS_OCTAVE = Expression("600 * V_F / (e * V_1)")
STEPS_HERTZ = Expression("V_F / (2 * V_L * (1 - 2 ** (-e / 1200)))")
"""How many steps the full scale must have for half of one to cost no more than `e` cents."""

# Codes exactly between two steps round up; a rounding error of the machine must not turn them down.
CODE = Expression("min(max(floor(V_n / V_s + 0.5 + 1e-9), 0), 2 ** N - 1)")
# 1 while the note lies no more than half a step beyond the end of the scale, else 0.
IN_REACH = Expression("max(0, 1 - floor(abs(V_out - V_n) / V_s + 0.5 - 2e-9))")
BITS_REFERENCE = Expression("max(1, ceil(log2(x) - 1e-9))")
BITS_TOP_CODE = Expression("max(1, ceil(log2(x + 1) - 1e-9))")
LAST_NOTE = Expression("floor(12 * o + 1e-6)")
NOTE = Expression("m_0 + n")

REACHED = (Comparison.read("reach > 0"),)
MISSED = (Comparison.read("reach <= 0"),)


def note_table(standard: str) -> PlanTable:
    """Every note from the lowest up, and which of them is the worst."""
    return PlanTable(
        title="Note by note",
        index="n",
        last=LAST_NOTE,
        steps=(
            Step("V_n", TARGET[standard], "voltage"),
            Step("k", CODE, "integer"),
            Step("V_out", OUTPUT, "voltage"),
            Step("err", ERROR_CENTS[standard], "interval"),
            Step("reach", IN_REACH, "yes"),
            Step("m", NOTE, "note"),
            Step("f", FREQUENCY, "frequency"),
        ),
        cells={
            "note": Shown("m", "note"), "target": Shown("V_n", "voltage", 5), "code": Shown("k", "integer"),
            "output": Shown("V_out", "voltage", 5), "error": Shown("err", "interval"),
            "in_reach": Shown("reach", "yes"), "frequency": Shown("f", "frequency", 5),
        },
        reductions=(
            Reduction("reached", "count", where=REACHED),
            Reduction("missed", "count", where=MISSED),
            *(
                Reduction(f"{of}_w", "at_greatest", of, "err", REACHED)
                for of in ("err", "n", "V_n", "V_out")
            ),
            *(Reduction(f"{of}_m", "at_greatest", of, "err", MISSED) for of in ("err", "n")),
        ),
    )  # fmt: skip
