"""A comparator as a plan: its parts, both thresholds, and the feedback for a wanted hysteresis.

Formulas stand in `comparator_formulas`; here they get their inputs, tolerances and notes.
"""

from __future__ import annotations

from kb.calculators.base import CalculationError, InputProblem
from kb.calculators.comparator_formulas import INVERTING, PULL_DOWN, Network
from kb.calculators.plan import Band, Comparison, Condition, Plan, Refusal, Shown, Step, Variable
from kb.calculators.plan_parts import tolerance, variable
from kb.calculators.reading import Given
from kb.calculators.tolerances import PartTolerance
from kb.formulas import Expression

NAMES = {
    "upper": "R_U", "lower": "R_L", "input_resistor": "R_I", "feedback": "R_F", "pullup": "R_P",
    "reference": "V_R", "supply": "V_S", "output_high": "V_OH", "output_low": "V_OL", "hysteresis": "V_W",
}  # fmt: skip
Over = dict[str, PartTolerance]
"""The tolerances by formula name."""

NEEDED = {"inverting": ("upper", "lower"), "non_inverting": ("input_resistor", "reference")}
FOREIGN = {"inverting": ("input_resistor",), "non_inverting": ("upper", "lower")}

# TI LM339LV (seen in source): the pull-up at least ten times smaller than the feedback resistor.
PULL_UP_RATIO = 10
LARGE_PULL_UP = (
    "the pull-up is more than a tenth of the feedback resistor, so the upper threshold hangs on it: take a "
    "smaller pull-up or a larger feedback resistor (TI LM339LV)"
)
# LM339: input offset 5 mV at most, inputs good up to 1.5 V below the supply (from memory).
SMALL_HYSTERESIS = (
    "the hysteresis is no larger than twice the offset of an LM339 (5 mV each way, from memory): it may "
    "vanish"
)
NEAR_SUPPLY = (
    "the upper threshold lies less than 1.5 V below the supply, where the inputs of an LM339 stop working "
    "(from memory)"
)
OUT_OF_REACH = "a threshold lies outside the output's own swing: see whether the input gets there at all"
TOO_MUCH = "the output's swing can't give {wanted} of hysteresis in this network"


def network(given: Given) -> Network:
    """Which formulas hold; CalculationError where a part of the topology is missing."""
    topology = given.word("topology")
    _check_parts(given, topology)
    top = "V_R" if given.has("reference") else "V_S"
    high = "V_OH" if given.has("output_high") else "V_S"
    if "V_S" in (top, high) and not given.has("supply"):
        advice = "it feeds the divider and the pull-up, for example 5 V"
        raise CalculationError(InputProblem("supply", "is missing", advice))
    return Network(topology, top, high, given.has("pullup"))


def _check_parts(given: Given, topology: str) -> None:
    words = topology.replace("_", "-")
    problems = [
        InputProblem(key, "is missing", f"the {words} comparator has one, for example {_example(given, key)}")
        for key in NEEDED[topology]
        if not given.has(key)
    ]
    problems += [
        InputProblem(key, f"has no place in a {words} comparator", "leave it out")
        for key in FOREIGN[topology]
        if given.has(key)
    ]
    if problems:
        raise CalculationError(*problems)


def _example(given: Given, key: str) -> str:
    return given.calculator.input(key).example


def plan_of(given: Given, net: Network) -> Plan:
    """The calculation as data; with a wanted hysteresis the feedback is solved for first."""
    variables = _variables(given, net)
    over = _tolerances(given, variables)
    solved = given.solved_for == "feedback"
    steps = _solved(net) if solved else ()
    steps += _thresholds(net, over)
    if solved:
        steps += _preferred(net, over, given.word("series"))
    return Plan(variables, steps, conditions=_conditions(given, net))


def _variables(given: Given, net: Network) -> tuple[Variable, ...]:
    """The inputs that take part; resistors share a tolerance unless they state their own."""
    parts = (*NEEDED[net.topology], "feedback", "pullup", "reference", "supply", "output_high", "output_low")
    keys = [key for key in dict.fromkeys((*parts, "hysteresis")) if given.has(key)]
    return tuple(variable(given, key, NAMES[key], _shared(key)) for key in keys)


def _shared(key: str) -> str:
    return "resistor" if NAMES[key].startswith("R") else ""


def _tolerances(given: Given, variables: tuple[Variable, ...]) -> Over:
    """Those of all parts and voltages, the feedback to come included; a wanted hysteresis has none."""
    found = {each.name: tolerance(given, each.key, _shared(each.key)) for each in variables}
    found["R_F"] = tolerance(given, "feedback", "resistor")
    return {name: spread for name, spread in found.items() if name != "V_W"}


def _solved(net: Network) -> tuple[Step, ...]:
    """The feedback resistor for the wanted hysteresis."""
    refusal = Refusal(
        (Comparison.read("R_F <= 0"),),
        "hysteresis",
        TOO_MUCH,
        "ask for less",
        {"wanted": Shown("V_W", "voltage")},
    )
    # an output that is no higher when high than when low pushes nothing
    swing = Refusal(
        (Comparison.read("a + b <= 0"),),
        "output_high",
        "does not lie above output_low",
        "give the higher one",
    )
    return (
        Step("V_K", net.open_voltage, "voltage"),
        Step("R_K", net.source, "resistance"),
        Step("a", net.push_up, "number"),
        Step("b", PULL_DOWN, "number", refusals=(swing,)),
        Step("R_F", net.feedback, "resistance", "feedback", refusals=(refusal,)),
    )


def _thresholds(net: Network, over: Over) -> tuple[Step, ...]:
    refusal = Refusal(
        (Comparison.read("V_H <= 0"),), "output_high", "does not lie above output_low", "give the higher one"
    )
    return (
        Step("V_U", net.upper, "voltage", "upper", Band(net.upper, over)),
        Step("V_L", net.lower, "voltage", "lower", Band(net.lower, over)),
        Step(
            "V_H",
            Expression("V_U - V_L"),
            "voltage",
            "hysteresis",
            Band(net.hysteresis, over),
            refusals=(refusal,),
        ),
    )


def _preferred(net: Network, over: Over, series: str) -> tuple[Step, ...]:
    """The nearest feedback resistor that is made, and what the comparator does with it."""
    swapped = {("R_N" if name == "R_F" else name): spread for name, spread in over.items()}
    steps = [Step("R_N", Expression("R_F"), "resistance", "preferred", series=series)]
    for name, key, expression in (
        ("V_UN", "upper_with_preferred", net.upper), ("V_LN", "lower_with_preferred", net.lower),
        ("V_HN", "hysteresis_with_preferred", net.hysteresis),
    ):  # fmt: skip
        made = Expression(expression.text.replace("R_F", "R_N"))
        steps.append(Step(name, made, "voltage", key, Band(made, swapped)))
    return tuple(steps)


def _conditions(given: Given, net: Network) -> tuple[Condition, ...]:
    found = [Condition.whenever("warning", SMALL_HYSTERESIS, Comparison.read("V_H <= 0.01"))]
    if net.pull_up:
        when = Comparison.read(f"R_P * {PULL_UP_RATIO} > R_F")
        found.append(Condition.whenever("warning", LARGE_PULL_UP, when))
    if given.has("supply"):
        when = Comparison.read("V_U > V_S - 1.5")
        found.append(Condition.whenever("warning", NEAR_SUPPLY, when))
    if net.topology != INVERTING:
        ends = (Comparison.read(f"V_U > {net.high}"), Comparison.read("V_L < V_OL"))
        found += [Condition.whenever("note", OUT_OF_REACH, when) for when in ends]
    return tuple(found)
