"""The formulas of a voltage divider, once alone and once with a load across the lower resistor.

Only formulas and their dimensions stand here, so that a test can hold every one of them to its dimension.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.formulas import Expression


@dataclass(frozen=True)
class Form:
    """One divider: what it gives, and each resistor solved for the wanted output `V_O`.

    `lowest` and `highest` take the tolerances of input, upper, lower and load downwards (`i_m`, `u_m`, `l_m`,
    `x_m`) and upwards (`i_p` ...) as positive fractions. `upper_band` is `upper` where the input may fall
    below the wanted output, and then nothing is left for it to drop. `under_upper` is the least that
    lies below the upper resistor, `beside_lower` the resistance that drives the lower one at its hottest.
    """

    output: Expression
    upper: Expression
    upper_band: Expression
    lower: Expression
    current: Expression
    lowest: Expression
    highest: Expression
    under_upper: Expression
    beside_lower: Expression


ALONE = Form(
    output=Expression("V_I * R_L / (R_U + R_L)"),
    upper=Expression("R_L * (V_I / V_O - 1)"),
    upper_band=Expression("R_L * (max(V_I, V_O) / V_O - 1)"),
    lower=Expression("R_U / (V_I / V_O - 1)"),
    current=Expression("V_I / (R_U + R_L)"),
    lowest=Expression("V_I * (1 - i_m) * R_L * (1 - l_m) / (R_U * (1 + u_p) + R_L * (1 - l_m))"),
    highest=Expression("V_I * (1 + i_p) * R_L * (1 + l_p) / (R_U * (1 - u_m) + R_L * (1 + l_p))"),
    under_upper=Expression("R_L * (1 - l_m)"),
    beside_lower=Expression("R_U * (1 - u_m)"),
)
"""Nothing draws current from the middle."""

LOADED = Form(
    output=Expression("V_I / (1 + R_U * (1 / R_L + 1 / R_X))"),
    upper=Expression("(V_I / V_O - 1) / (1 / R_L + 1 / R_X)"),
    upper_band=Expression("(max(V_I, V_O) / V_O - 1) / (1 / R_L + 1 / R_X)"),
    lower=Expression("1 / ((V_I / V_O - 1) / R_U - 1 / R_X)"),
    current=Expression("V_I / (R_U + 1 / (1 / R_L + 1 / R_X))"),
    lowest=Expression(
        "V_I * (1 - i_m) / (1 + R_U * (1 + u_p) * (1 / (R_L * (1 - l_m)) + 1 / (R_X * (1 - x_m))))"
    ),
    highest=Expression(
        "V_I * (1 + i_p) / (1 + R_U * (1 - u_m) * (1 / (R_L * (1 + l_p)) + 1 / (R_X * (1 + x_p))))"
    ),
    under_upper=Expression("1 / (1 / (R_L * (1 - l_m)) + 1 / (R_X * (1 - x_m)))"),
    beside_lower=Expression("1 / (1 / (R_U * (1 - u_m)) + 1 / (R_X * (1 + x_p)))"),
)
"""A load `R_X` stands across the lower resistor."""

POWER_UPPER = Expression("(V_I - V_O) ** 2 / R_U")
POWER_LOWER = Expression("V_O ** 2 / R_L")
# A resistor is hottest when it equals what drives it, so the worst case may lie inside its tolerance and not
# at a corner: R_Uw and R_Lw are the values at which that happens.
HOTTEST_UPPER = Expression("min(max(R_M, R_U * (1 - u_m)), R_U * (1 + u_p))")
HOTTEST_LOWER = Expression("min(max(R_S, R_L * (1 - l_m)), R_L * (1 + l_p))")
WORST_POWER_UPPER = Expression("(V_I * (1 + i_p)) ** 2 * R_Uw / (R_Uw + R_M) ** 2")
WORST_POWER_LOWER = Expression("(V_I * (1 + i_p) * R_S / (R_U * (1 - u_m))) ** 2 * R_Lw / (R_S + R_Lw) ** 2")
UNLOADED = ALONE.output
THEVENIN = Expression("R_U * R_L / (R_U + R_L)")

# How far the output moves for each part's tolerance: V_I R_U R_L/(R_U + R_L)^2 times the tolerance for a
# resistor of a divider alone, written so that it holds with a load too.
SHARE = {
    "input": Expression("V_O * t_I"),
    "upper": Expression("V_O * (V_I - V_O) / V_I * t_U"),
    "lower": Expression("V_O ** 2 * R_U / (V_I * R_L) * t_L"),
    "load": Expression("V_O ** 2 * R_U / (V_I * R_X) * t_X"),
}
LINEAR = {False: Expression("d_I + d_U + d_L"), True: Expression("d_I + d_U + d_L + d_X")}
STATISTICAL = {
    False: Expression("sqrt(d_I ** 2 + d_U ** 2 + d_L ** 2)"),
    True: Expression("sqrt(d_I ** 2 + d_U ** 2 + d_L ** 2 + d_X ** 2)"),
}
"""The shares taken together, by whether there is a load."""

DIMENSIONS = {
    "V_I": "voltage", "V_O": "voltage", "R_U": "resistance", "R_L": "resistance", "R_X": "resistance",
    "R_M": "resistance", "R_S": "resistance", "R_Uw": "resistance", "R_Lw": "resistance",
    "d_I": "voltage", "d_U": "voltage", "d_L": "voltage", "d_X": "voltage",
    **{f"{part}_{side}": "ratio" for part in "iulx" for side in "mp"},
    **{f"t_{part}": "ratio" for part in "IULX"},
}  # fmt: skip
"""The dimension of every name the formulas use."""
