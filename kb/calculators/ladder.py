"""Converters made of resistors: how uneven their steps are, and how likely they never step backwards.

Random resistors are drawn many times over; beside the drawn ones stands the corner that no draw may
exceed. Matching within one network is better than the tolerance on its package, and is not counted here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kb.calculators.base import (
    CalculationError,
    Calculator,
    Column,
    Input,
    InputProblem,
    Note,
    Result,
    ResultSpec,
    ShownFormula,
    Source,
    Table,
    Worked,
)
from kb.calculators.ladder_corner import Corner, corner_of
from kb.calculators.ladder_formulas import (
    BINARY,
    BINARY_LIMIT,
    BINARY_STEP,
    DNL,
    INL,
    KINDS,
    MATCHING_RULE,
    MSB_LEG_LIMIT,
    R2R,
    STEP,
    STRING,
    STRING_INL,
    STRING_STEP,
    wilson,
)
from kb.calculators.ladder_solution import MOST_DRAWS, Errors, Spread, draw, resistors
from kb.calculators.reading import Given
from kb.calculators.working import cell, formula, result, shown
from kb.figures.spec import Axis, FigureSpec, Mark, Series
from kb.formulas import Expression

if TYPE_CHECKING:
    from numpy.typing import NDArray

MOST_TRIALS = 20000
MOST_BITS = 16
WIDEST = 0.5
CURVE_POINTS = 129
RARE = 0.95

COLUMNS = (
    Column("bit", "Bit that turns on", "integer"),
    Column("code", "Onto code", "integer"),
    Column("worst_dnl", "Worst DNL drawn (steps)", "number"),
    Column("backwards", "Steps backwards", "ratio"),
    Column("corner_dnl", "DNL in the worst corner (steps)", "number"),
)

DEFINITIONS = (
    "one step is the full scale over 2^N; INL is taken from the straight line through the end points (a "
    "best-fit line would show about half of it)"
)
MATCHED = (
    "resistors of one network match each other far better than the tolerance on its package says: measure "
    "some of them before you blame it"
)

SOURCES = (
    Source("DNL, INL and step as National and TI define them", "seen in source"),
    Source("End-point and best-fit lines both appear in the Agilent 93000 manual", "seen in source"),
    Source("R-2R: the middle step with an off top leg", "simulated in ngspice"),
    Source("Tolerance of 1/2^N (8 bits 0.39 %, 10 bits 0.098 %, 12 bits 0.025 %)", "seen in a public note"),
    Source("String: INL of half a step times 2^N times the matching (Baker, Eq. 29.10)", "seen in source"),
    Source("Interval for a chance (Wilson, 95 %)", "textbook"),
)  # fmt: skip


def work(given: Given) -> Worked:
    """Draw the converters, find their errors and the worst corner."""
    kind, bits, trials = given.word("kind"), given.count("bits"), given.count("trials")
    spread = _spread(given)
    if resistors(kind, bits) * trials > MOST_DRAWS:
        most = MOST_DRAWS // resistors(kind, bits)
        what = f"{trials} strings of {resistors(kind, bits)} resistors are too many to draw"
        raise CalculationError(InputProblem("trials", what, f"give at most {most}"))
    errors = draw(kind, bits, spread, trials, given.count("seed"))
    corner = corner_of(kind, bits, spread)
    return Worked(
        results=(*_drawn(kind, errors, trials), *_limits_of(corner)),
        formulas=_formulas(kind, bits, spread, corner),
        limits=(
            "Every resistor anywhere in its tolerance, equally likely and independent of the others.",
            "Resistance of switches and of bit outputs, loading and the amplifier behind are not in it.",
        ),
        notes=_notes(kind, spread, errors, corner, trials),
        sources=SOURCES,
        tables=() if kind == STRING else (_table(errors, corner),),
        figure=_string_figure(errors) if kind == STRING else _figure(errors, corner),
    )


def _spread(given: Given) -> Spread:
    tolerance = given.quantities["resistor_tolerance"]
    if max(tolerance.minus, tolerance.plus) > WIDEST:
        what = "is more than half of the resistor"
        raise CalculationError(InputProblem("resistor_tolerance", what, "give for example 1 %"))
    return Spread(tolerance.minus, tolerance.plus)


def _drawn(kind: str, errors: Errors, trials: int) -> tuple[Result, ...]:
    import numpy as np  # noqa: PLC0415 - importing the calculators must stay cheap

    chance = int(errors.is_monotonic.sum()) / trials
    # a string of positive resistors can't step backwards, so its chance has no doubt
    doubt = None if kind == STRING else wilson(chance, trials)
    return (
        result(CALCULATOR, "worst_dnl", errors.worst_dnl),
        result(CALCULATOR, "worst_inl", float(errors.inl.max())),
        result(CALCULATOR, "monotonic_chance", chance, doubt),
        result(CALCULATOR, "usual_dnl", float(np.median(errors.worst_of_each))),
        result(CALCULATOR, "usual_inl", float(np.median(errors.inl))),
    )


def _limits_of(corner: Corner) -> tuple[Result, ...]:
    found = (
        ("corner_dnl", corner.dnl), ("corner_inl", corner.inl), ("tolerance_limit", corner.tolerance_limit),
        ("matching_rule", corner.matching_rule), ("msb_leg_limit", corner.msb_leg_limit),
    )  # fmt: skip
    return tuple(result(CALCULATOR, key, value) for key, value in found if value is not None)


def _formulas(kind: str, bits: int, spread: Spread, corner: Corner) -> tuple[ShownFormula, ...]:
    largest = max(spread.minus, spread.plus)
    numbers = {
        "N": str(bits), "t": shown(largest, "ratio"), "t_m": shown(spread.minus, "ratio"),
        "t_p": shown(spread.plus, "ratio"),
    }  # fmt: skip

    def one(name: str, left: str, expression: Expression, answer: str) -> ShownFormula:
        return formula(name, left, expression, symbols={}, numbers=numbers, answer=answer)

    general = (
        one("One step", "V_s", STEP, f"full scale / {2**bits}"),
        one("Unevenness of a step", "DNL", DNL, "in steps"),
        one("Distance from the end-point line", "INL", INL, "in steps"),
    )
    if kind == BINARY:
        step = f"{corner.dnl + 1:.4g} steps"
        limit = BINARY_LIMIT.evaluate({"N": bits})
        return (
            *general,
            one("Middle step, top resistor high, others low", "s", BINARY_STEP, step),
            one("Tolerance at which it vanishes", "t_l", BINARY_LIMIT, shown(limit, "ratio")),
        )
    if kind == STRING:
        return (
            *general,
            one("Smallest step", "s", STRING_STEP, f"{corner.dnl + 1:.4g} steps"),
            one("Middle tap, one half high, one low", "INL", STRING_INL, f"{corner.inl:.4g} steps"),
        )
    rule, leg = (each.evaluate({"N": bits}) for each in (MATCHING_RULE, MSB_LEG_LIMIT))
    return (
        *general,
        one("Rule for every resistor", "t_r", MATCHING_RULE, shown(rule, "ratio")),
        one("Limit for the top leg alone", "t_l", MSB_LEG_LIMIT, shown(leg, "ratio")),
    )


def _notes(kind: str, spread: Spread, errors: Errors, corner: Corner, trials: int) -> tuple[Note, ...]:
    found = []
    backwards = trials - int(errors.is_monotonic.sum())
    if backwards:
        text = (
            f"{backwards} of {trials} drawn converters step backwards somewhere: a scale played on them jumps"
        )
        found.append(Note("warning" if backwards > (1 - RARE) * trials else "note", text))
    limit = corner.tolerance_limit
    if limit is not None and max(spread.minus, spread.plus) > limit and not backwards:
        text = (
            f"none of the drawn converters steps backwards, but the worst corner does: only below "
            f"{shown(limit, 'ratio')} can none"
        )
        found.append(Note("note", text))
    if kind == STRING:
        found.append(Note("note", "a string never steps backwards, whatever its resistors: it bends instead"))
    if kind == R2R:
        text = "the worst step lies at the middle of the scale, where the top bit takes over from all others"
        found.append(Note("note", text))
    if kind == BINARY:
        text = (
            "binary weights want resistors over a range of 2^(N-1), which no network offers: look for parts "
            "of different make and age among them"
        )
        found.append(Note("note", text))
    return (*found, Note("note", DEFINITIONS), Note("note", MATCHED))


def _table(errors: Errors, corner: Corner) -> Table:
    rows = []
    for bit in range(errors.dnl.shape[1]):
        drawn = errors.dnl[:, bit]
        worst = float(drawn[abs(drawn).argmax()])
        backwards = float((drawn < -1.0).mean())
        rows.append((
            cell(bit, "integer"), cell(1 << bit, "integer"), cell(worst, "number"), cell(backwards, "ratio"),
            cell(corner.by_carry[bit], "number"),
        ))  # fmt: skip
    return Table("By carry", COLUMNS, tuple(rows))


def _numbers(values: NDArray[Any] | tuple[float, ...]) -> tuple[float, ...]:
    return tuple(float(value) for value in values)


def _figure(errors: Errors, corner: Corner) -> FigureSpec:
    bits = tuple(float(bit) for bit in range(errors.dnl.shape[1]))
    drawn = _numbers(errors.worst_curve)
    return FigureSpec(
        title="Unevenness of the step at each carry",
        description=(
            "DNL in steps for each bit that takes over from those below, for the worst converter drawn and "
            f"for the worst corner; below -1 the output steps backwards. Drawn: down to {min(drawn):.3g}."
        ),
        x=Axis("Bit that turns on"),
        y=Axis("DNL in steps"),
        series=(
            Series("worst drawn", bits, drawn, "bars"),
            Series("worst corner", bits, corner.by_carry, "points"),
        ),
        marks=(Mark("horizontal", -1.0, "backwards below"),),
    )


def _string_figure(errors: Errors) -> FigureSpec:
    count = len(errors.worst_curve)
    points = min(count, CURVE_POINTS)
    codes = sorted({round(place * (count - 1) / (points - 1)) for place in range(points)})
    return FigureSpec(
        title="Distance from the end-point line",
        description=(
            "INL in steps against the code for the string with the worst one of those drawn; it reaches "
            f"{float(errors.inl.max()):.3g} steps."
        ),
        x=Axis("Code"),
        y=Axis("INL in steps"),
        series=(
            Series("worst drawn", _numbers(tuple(codes)), _numbers(errors.worst_curve[codes])),
        ),
    )  # fmt: skip


CALCULATOR = Calculator(
    name="ladder",
    title="Converter made of resistors",
    summary="How uneven R-2R ladders, binary weights and strings of resistors get with their tolerance.",
    inputs=(
        Input("kind", "Kind", "", "choice", "how the resistors are set", R2R, default=R2R, choices=KINDS),
        Input(
            "bits", "Bits", "N", "integer", "of the converter", "8", required=True, least=2, most=MOST_BITS
        ),
        Input(
            "resistor_tolerance", "Resistor tolerance", "t", "tolerance", "of every resistor", "1 %",
            required=True, positive=False,
        ),
        Input(
            "trials", "Converters drawn", "n", "integer", "more of them make the chance surer", "1000",
            default="1000", least=1, most=MOST_TRIALS,
        ),
        Input(
            "seed", "Seed", "", "integer", "the same seed draws the same converters", "12345",
            default="12345", least=0, most=10**9 - 1,
        ),
    ),
    results=(
        ResultSpec("worst_dnl", "Worst DNL drawn (steps)", "number", "below -1 the output steps backwards"),
        ResultSpec("worst_inl", "Worst INL drawn (steps, end-point line)", "number"),
        ResultSpec("monotonic_chance", "Chance of never stepping backwards", "ratio", "Wilson, 95 %"),
        ResultSpec("usual_dnl", "DNL of a middling one (steps)", "number", "median of the worst of each"),
        ResultSpec("usual_inl", "INL of a middling one (steps)", "number", "median of the worst of each"),
        ResultSpec("corner_dnl", "DNL of the worst corner (steps)", "number"),
        ResultSpec("corner_inl", "INL of the worst corner (steps)", "number", "string"),
        ResultSpec("tolerance_limit", "None steps backwards below", "ratio", "R-2R and binary weighted"),
        ResultSpec("matching_rule", "Rule of thumb, 2^-N", "ratio", "R-2R and binary weighted"),
        ResultSpec("msb_leg_limit", "Excess of the top leg alone", "ratio", "R-2R"),
    ),
    example={"kind": "r2r", "bits": "8", "resistor_tolerance": "1 %"},
    function=work,
)  # fmt: skip
