"""A formula is read once; its value, its text, its lists and its picture all come from that reading."""

from __future__ import annotations

import contextlib
import math
import time
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.formulas import Expression, FormulaError
from kb.formulas.parsing import parse
from kb.formulas.tree import ARGUMENTS, Call, Name, Negative, Node, Number, Operation
from kb.formulas.writing import to_text

NAMES = st.sampled_from(["R", "C", "V_T", "t_w", "R0"])
NUMBERS = st.sampled_from(["2", "0.7", "1200", "1e-9", "60"]).map(lambda text: Number(float(text), text))


def _deeper(inner: st.SearchStrategy[Node]) -> st.SearchStrategy[Node]:
    calls = st.sampled_from(sorted(ARGUMENTS)).flatmap(
        lambda name: st.lists(inner, min_size=ARGUMENTS[name][0], max_size=ARGUMENTS[name][0]).map(
            lambda parts: Call(name, tuple(parts))
        )
    )
    operations = st.builds(Operation, st.sampled_from(["+", "-", "*", "/", "**"]), inner, inner)
    return st.one_of(operations, inner.map(Negative), calls)


TREES = st.recursive(st.one_of(NAMES.map(Name), NUMBERS), _deeper, max_leaves=8)


@pytest.mark.parametrize(
    ("text", "values", "expected"),
    [
        ("K * C * (R + R0)", {"K": 0.28, "C": 1e-7, "R": 1e4, "R0": 700}, 2.996e-4),
        ("1 / (2 * pi * R * C)", {"R": 1e4, "C": 1e-7}, 159.15494309189535),
        ("-2 ** 2", {}, -4.0),
        ("2 ** -1", {}, 0.5),
        ("2 ** 3 ** 2", {}, 512.0),
        ("ln(exp(3)) + sqrt(16) + log2(8) + log10(100)", {}, 12.0),
        ("min(a, 2) + max(a, 2) + abs(-a)", {"a": 5}, 12.0),
        ("arccos(0.5)", {}, math.pi / 3),
        ("floor(a + 0.5) + 10 * floor(b + 0.5)", {"a": 2.5, "b": -2.5}, -17.0),
        ("ceil(log2(a))", {"a": 257}, 9.0),
        ("floor(-0.2) + ceil(-0.2)", {}, -1.0),
        ("7 - 2 - 1", {}, 4.0),
        ("8 / 2 / 2", {}, 2.0),
    ],
)
def test_value_of_a_formula(text: str, values: dict[str, float], expected: float) -> None:
    assert Expression(text).evaluate(values) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    "text",
    [
        "", "   ", "R +", "2if 1 else 3", "2 if 1 else 3", "R.real", "R[0]", "[R]", "(R, C)", "f'{R}'", "'R'",
        "lambda R: R", "R and C", "not R", "R < C", "R // C", "R % C", "R @ C", "~R", "+R", "R << 2",
        "R := 2",
        "__import__(R)", "eval(R)", "round(R)", "ln(R, C)", "ln()", "ln(*R)", "min(R)", "max(R=1)", "1e999",
        "1j", "0x10", "1_000", "True", "None", "R\n+ C;", "R ** 65", "R ** 100", "ln", "ln + 1", "(yield)",
        "a" * 501, "(" * 300 + "R" + ")" * 100, "-" * 40 + "R", "+".join("R" * 150), "9" * 400,
    ],
)  # fmt: skip
def test_what_is_no_formula_is_refused_at_once(text: str) -> None:
    started = time.perf_counter()
    with pytest.raises(FormulaError):
        Expression(text)
    assert time.perf_counter() - started < 0.5


@pytest.mark.parametrize("text", ["a" * 499 + "!", " " * 499 + "!", "1" * 499 + "!", "a *" * 160 + "!"])
def test_long_rubbish_is_refused_without_backtracking(text: str) -> None:
    started = time.perf_counter()
    with pytest.raises(FormulaError):
        Expression(text)
    assert time.perf_counter() - started < 0.1


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    with contextlib.suppress(FormulaError):
        Expression(text).to_text()


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("1 / a", {"a": 0.0}), ("ln(a)", {"a": 0.0}), ("ln(a)", {"a": -1.0}), ("sqrt(a)", {"a": -1.0}),
        ("a ** 0.5", {"a": -1.0}), ("exp(a)", {"a": 1e4}), ("a ** b", {"a": 9.0, "b": 9e9}),
        ("a * a", {"a": 1e300}), ("a + 1", {"a": math.inf}), ("a + 1", {"a": math.nan}),
        ("a + b", {"a": 1.0}),
        ("arccos(a)", {"a": 1.1}), ("0 ** a", {"a": -1.0}),
    ],
)  # fmt: skip
def test_no_finite_value_is_an_error(text: str, values: dict[str, float]) -> None:
    with pytest.raises(FormulaError):
        Expression(text).evaluate(values)


@given(TREES)
def test_text_reads_back_into_the_same_tree(tree: Node) -> None:
    try:
        read = parse(to_text(tree))
    except FormulaError as error:
        assert "exponent above" in str(error)  # noqa: PT017 - the only reason to refuse one of these
    else:
        assert read == tree


@given(TREES)
def test_picture_is_valid_and_holds_every_name(tree: Node) -> None:
    try:
        expression = Expression(to_text(tree))
    except FormulaError:
        return
    root = ElementTree.fromstring(  # noqa: S314 - our own text
        expression.to_mathml({}, "t_w", dict.fromkeys(expression.names, "1 kΩ"), "2 s")
    )
    shown = "".join(root.itertext())
    assert shown.count("1\u00a0kΩ") >= len(expression.names)
    assert shown.endswith("=2\u00a0s")


def test_names_in_the_order_they_are_written() -> None:
    assert Expression("K * C * (R + R0) + C * pi").names == ("K", "C", "R", "R0")


def test_the_same_formula_for_another_part() -> None:
    formula = Expression("-(K * C * (R + R0)) ** min(R, 2) / pi")
    assert formula.renamed({"R": "R_P", "pi": "x"}).text == "-(K * C * (R_P + R0)) ** min(R_P, 2) / pi"
    assert formula.renamed({}).tree == formula.tree


def test_lists_for_a_browser() -> None:
    assert Expression("-K * ln(R / 2) ** 2").to_json() == [
        "*", ["neg", "K"], ["**", ["ln", ["/", "R", 2.0]], 2.0],
    ]  # fmt: skip


def test_symbols_can_not_become_markup() -> None:
    made = Expression("R * 2").to_mathml({"R": "<b>"}, "x<y", {"R": "<script>"}, "&")
    assert "<b>" not in made
    assert "<script>" not in made
    assert "&lt;script&gt;" in made


@pytest.mark.parametrize(
    ("text", "piece"),
    [
        ("a / b", "<mfrac><mi>a</mi><mi>b</mi></mfrac>"),
        ("sqrt(a)", "<msqrt><mi>a</mi></msqrt>"),
        ("a ** 2", "<msup><mi>a</mi><mn>2</mn></msup>"),
        ("V_out * 1", "<msub><mi>V</mi><mi>out</mi></msub>"),
        ("(a / b) ** 2", "<msup><mrow><mo>(</mo><mfrac>"),
        ("2 * 3", "<mn>2</mn><mo>×</mo><mn>3</mn>"),
        ("log2(a)", "<msub><mi>log</mi><mn>2</mn></msub>"),
        ("pi * a", "<mi>π</mi>"),
        ("a * ln(b)", '<mi>a</mi><mo rspace="0.2em">\u2062</mo><mrow><mi>ln</mi>'),
        ("a * b", "<mi>a</mi><mo>\u2062</mo><mi>b</mi>"),
        ("floor(a)", "<mo>⌊</mo><mi>a</mi><mo>⌋</mo>"),
    ],
)
def test_shapes_of_the_picture(text: str, piece: str) -> None:
    assert piece in Expression(text).to_mathml({})


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("K * C * (R + R0)", "time"), ("1 / (2 * pi * R * C)", "frequency"), ("C * V ** 2 / 2", "energy"),
        ("V ** 2 / R", "power"), ("sqrt(V ** 2)", "voltage"), ("1200 * log2(V / V_1)", "interval"),
        ("max(R, R0)", "resistance"), ("V / R", "current"), ("C * V", "charge"),
    ],
)  # fmt: skip
def test_dimension_of_a_formula(text: str, dimension: str) -> None:
    names = {
        "K": "number", "C": "capacitance", "R": "resistance", "R0": "resistance", "V": "voltage",
        "V_1": "voltage",
    }  # fmt: skip
    assert Expression(text).has_dimension(dimension, names)
    assert not Expression(text).has_dimension("mass", names)


@pytest.mark.parametrize("text", ["R + C", "ln(R)", "2 ** R", "min(R, C)", "R - 1", "Q * R"])
def test_unlike_things_are_not_added(text: str) -> None:
    with pytest.raises(FormulaError):
        Expression(text).dimension({"R": "resistance", "C": "capacitance"})
