"""How long a cell keeps a memory alive: by its capacity, and by how long it lasts on the shelf.

The smaller of the two is the life. The cautions of the cell's chemistry stand with it whatever the numbers
are; nothing here may read as a permission to charge a lithium primary cell.
"""

from __future__ import annotations

from collections.abc import Mapping

from kb.calculators.backup_advice import DEFAULT_LOSS, KINDS, always, conditions
from kb.calculators.base import (
    Calculator,
    Column,
    Input,
    ResultSpec,
    ShownFormula,
    ShownInput,
    Source,
    Table,
    Worked,
)
from kb.calculators.plan import Band, Comparison, Plan, Refusal, Shown, Step, Variable
from kb.calculators.planned import Outcome, carry_out
from kb.calculators.reading import Given
from kb.calculators.tolerances import PartTolerance
from kb.calculators.working import cell
from kb.figures.spec import Axis, FigureSpec, Mark, Series
from kb.formulas import Expression
from kb.quantities import Quantity, parse_quantity

YEAR_S = 31_557_600.0
HOURS_20_S = 72_000.0
LONGEST_DRAWN_YEARS = 40.0

BY_CAPACITY = Expression("Q / I")
BY_CAPACITY_MAX = Expression("Q / I_M")
ON_THE_SHELF = Expression("Y / s")
BOTH = Expression("Q / (I + Q * s / Y)")
BOTH_MAX = Expression("Q / (I_M + Q * s / Y)")
TRICKLE = Expression("Q / t_20")
LEFT = Expression("1 - t * (I / Q + s / Y)")

NOT_THE_GREATEST = Refusal(
    (Comparison.read("I_M < I"),), "current_max", "{I_M} is below the current of {I}",
    "give the greater one of the data sheet", {"I_M": Shown("I_M", "current"), "I": Shown("I", "current")},
)  # fmt: skip

SOURCES = (
    Source("Smaller of capacity life and storage life: ST AN1012", "principle seen"),
    Source("Life in years is mAh × 1000 / µA / 8766", "computed"),
    Source("CR2032: 225 mAh (vendors say 220 to 240), 1 % a year, 0.2 mA standard drain", "seen in source"),
    Source("Loss of alkaline and NiCd cells, trickle charge, ten years", "common practice, no source"),
)

COLUMNS = (
    Column("current", "Current", "current"),
    Column("by_capacity", "By its capacity", "time"),
    Column("on_the_shelf", "On the shelf", "time"),
    Column("life", "The smaller", "time"),
    Column("both", "Both at once", "time"),
)


def work(given: Given) -> Worked:
    """Work out both lives, for the typical current and for the greatest."""
    loss = _loss(given)
    outcome = carry_out(plan(given, loss))
    return Worked(
        results=outcome.results(CALCULATOR),
        formulas=_formulas(outcome),
        limits=(
            "Room temperature: a cell loses faster when it is warm.",
            "Straight lines: a rechargeable cell loses most in its first weeks.",
        ),
        notes=(*always(given.word("chemistry")), *outcome.notes()),
        sources=SOURCES,
        tables=(_table(outcome),),
        figure=_figure(outcome),
        also_used=_also_used(given, loss),
        plan=outcome.plan,
    )


def _loss(given: Given) -> Quantity:
    """The loss in a year, as written or as usual for such a cell."""
    written = given.quantities.get("self_discharge")
    return written or parse_quantity(DEFAULT_LOSS[given.word("chemistry")], "ratio")


def plan(given: Given, loss: Quantity) -> Plan:
    """The calculation as data."""
    names = {"capacity": "Q", "current": "I", "current_max": "I_M", "shelf": "t_D"}
    variables = [
        Variable(
            key, name, given.quantities[key].dimension, given.value(key),
            given.quantities[key].minus, given.quantities[key].plus,
        )
        for key, name in names.items()
        if given.has(key)
    ]  # fmt: skip
    variables.append(Variable("self_discharge", "s", "ratio", loss.value, loss.minus, loss.plus))
    over = {each.name: PartTolerance(each.minus, each.plus, each.key) for each in variables}
    steps = _steps(_shelf(given), over, has_most="I_M" in over)
    if given.word("chemistry") == "nicd":
        steps += (Step("I_T", TRICKLE, "current", "trickle"),)
    return Plan(
        variables=tuple(variables),
        steps=steps,
        constants={"Y": YEAR_S, "Y_10": 10 * YEAR_S, "t_20": HOURS_20_S, "I_D": 0.2e-3},
        conditions=conditions(given.word("chemistry"), given.has("current_max")),
        refusals=(NOT_THE_GREATEST,) if given.has("current_max") else (),
    )


def _shelf(given: Given) -> Expression:
    """How long the cell lasts with nothing connected."""
    return Expression(f"min(t_D, {ON_THE_SHELF.text})") if given.has("shelf") else ON_THE_SHELF


def _steps(shelf: Expression, over: Mapping[str, PartTolerance], *, has_most: bool) -> tuple[Step, ...]:
    found = [
        Step("t_Q", BY_CAPACITY, "time", "capacity_life", Band(BY_CAPACITY, over)),
        Step("t_S", shelf, "time", "storage_life", Band(shelf, over)),
        _smaller("t", "t_Q", BY_CAPACITY, shelf, over, "life"),
        Step("t_B", BOTH, "time", "both_at_once", Band(BOTH, over)),
    ]
    if has_most:
        found.append(Step("t_QM", BY_CAPACITY_MAX, "time"))
        found.append(_smaller("t_M", "t_QM", BY_CAPACITY_MAX, shelf, over, "life_at_max"))
        found.append(Step("t_BM", BOTH_MAX, "time"))
    return tuple(found)


def _smaller(
    name: str,
    first: str,
    capacity: Expression,
    shelf: Expression,
    over: Mapping[str, PartTolerance],
    key: str,
) -> Step:
    whole = Expression(f"min({capacity.text}, {shelf.text})")
    return Step(name, Expression(f"min({first}, t_S)"), "time", key, Band(whole, over))


def _formulas(outcome: Outcome) -> tuple[ShownFormula, ...]:
    rows = (
        ("By its capacity", "t_Q"), ("On the shelf", "t_S"), ("Life, the smaller", "t"),
        ("Both at once, straight line", "t_B"), ("Life at the greatest current", "t_M"),
        ("Greatest lasting charge current", "I_T"),
    )  # fmt: skip
    return tuple(
        outcome.formula(label, name, name, {"Y": "a"}) for label, name in rows if name in outcome.values
    )


def _also_used(given: Given, loss: Quantity) -> tuple[ShownInput, ...]:
    if given.has("self_discharge"):
        return ()
    spec = CALCULATOR.input("self_discharge")
    return (
        ShownInput(spec.key, spec.label, spec.symbol, loss.text, loss.shown, loss.value, "ratio", False),
    )  # fmt: skip


def _table(outcome: Outcome) -> Table:
    values = outcome.values
    cases = [("I", "t_Q", "t", "t_B")]
    if "I_M" in values:
        cases.append(("I_M", "t_QM", "t_M", "t_BM"))
    rows = tuple(
        (
            cell(values[current], "current"), cell(values[capacity], "time"), cell(values["t_S"], "time"),
            cell(values[smaller], "time"), cell(values[both], "time"),
        )
        for current, capacity, smaller, both in cases
    )  # fmt: skip
    return Table("Life by current", COLUMNS, rows)


def _figure(outcome: Outcome) -> FigureSpec:
    """Capacity left over the years; a straight line, cut where the cell is empty."""
    values = outcome.values
    cases: dict[str, Mapping[str, float]] = {
        "typical current": values,
        "nothing connected": {**values, "I": 0.0},
    }
    if "I_M" in values:
        cases["greatest current"] = {**values, "I": values["I_M"]}
    end_s = min(1.1 * values["t_B"], LONGEST_DRAWN_YEARS * YEAR_S)
    series = tuple(_line(label, case, end_s) for label, case in cases.items())
    return FigureSpec(
        title="Capacity left over the years",
        description=(
            "The part of the capacity that is left falls in straight lines: slowest with nothing connected, "
            "faster with the current of the memory, fastest with the greatest current of its data sheet."
        ),
        x=Axis("Years"),
        y=Axis("Capacity left", "ratio"),
        series=series,
        marks=(Mark("vertical", 10.0, "ten years"),) if end_s > 10 * YEAR_S else (),
    )


def _line(label: str, values: Mapping[str, float], end_s: float) -> Series:
    """From full to empty, and along the axis from there."""
    loss = values["I"] / values["Q"] + values["s"] / YEAR_S
    times = (0.0, end_s) if loss * end_s <= 1 else (0.0, 1 / loss, end_s)
    left = tuple(max(0.0, LEFT.evaluate({**values, "t": t})) for t in times)
    return Series(label, tuple(t / YEAR_S for t in times), left)


CALCULATOR = Calculator(
    name="backup",
    title="Memory backup",
    summary="How long a cell keeps a memory, by its capacity and by its own loss.",
    inputs=(
        Input("capacity", "Capacity", "Q", "charge", "of the cell", "225 mAh", required=True),
        Input("current", "Current", "I", "current", "that the memory draws", "2 uA", required=True),
        Input("current_max", "Greatest current", "I_M", "current", "the data sheet's maximum", "50 uA"),
        Input(
            "self_discharge", "Loss in a year", "s", "ratio",
            "of the capacity; when left out, what is usual for the chemistry", "1 %",
        ),
        Input("shelf", "Shelf life", "t_D", "time", "that the cell's maker publishes", "10 years"),
        Input(
            "chemistry", "Chemistry", "", "choice", "lithium primary, nickel-cadmium or alkaline", "lithium",
            default="lithium", choices=KINDS,
        ),
    ),
    results=(
        ResultSpec("life", "Life", "time", "the smaller of the next two"),
        ResultSpec("capacity_life", "By its capacity", "time"),
        ResultSpec("storage_life", "On the shelf", "time"),
        ResultSpec("life_at_max", "Life at the greatest current", "time"),
        ResultSpec("both_at_once", "Both at once", "time", "current and own loss together"),
        ResultSpec("trickle", "Greatest lasting charge current", "current", "NiCd alone, a 20 hour rate"),
    ),
    example={"capacity": "225 mAh", "current": "2 uA", "current_max": "50 uA", "self_discharge": "1 %"},
    function=work,
)  # fmt: skip
