"""`halfsplit calc`: one calculation in the terminal, its JSON, and what a wrong input is told."""

from __future__ import annotations

import json
import shlex

import pytest
from click.testing import CliRunner, Result

from kb.calculators import CALCULATORS
from kb.cli import main

NAMES = tuple(CALCULATORS)


def calc(*words: str) -> Result:
    return CliRunner().invoke(main, ["calc", *words])


def refusal(*words: str) -> str:
    """The one line on standard error that a wrong command gives."""
    found = calc(*words)
    assert (found.exit_code, found.stdout) == (2, "")
    (line,) = found.stderr.splitlines()
    return line


def test_without_a_name_it_lists_the_calculators() -> None:
    found = calc()
    assert found.exit_code == 0
    listed = [line.split()[0] for line in found.stdout.splitlines()[: len(NAMES)]]
    assert listed == list(NAMES)
    assert "halfsplit calc NAME --help" in found.stdout


@pytest.mark.parametrize("name", NAMES)
class TestEachCalculator:
    def test_its_help_tells_every_input_with_an_example(self, name: str) -> None:
        found = calc(name, "--help")
        assert found.exit_code == 0
        for each in CALCULATORS[name].inputs:
            line = next(line for line in found.stdout.splitlines() if line.split()[:1] == [each.key])
            assert "For example " in line

    def test_the_example_of_its_help_runs(self, name: str) -> None:
        last = calc(name, "--help").stdout.splitlines()[-1]
        words = shlex.split(last)
        assert words[:3] == ["halfsplit", "calc", name]
        found = calc(*words[2:])
        assert (found.exit_code, found.stderr) == (0, "")
        assert found.stdout.startswith(CALCULATORS[name].title)

    def test_its_json_has_the_agreed_shape(self, name: str) -> None:
        words = [f"{key}={value}" for key, value in CALCULATORS[name].example.items()]
        found = calc(name, *words, "--json")
        assert (found.exit_code, found.stderr) == (0, "")
        data = json.loads(found.stdout)
        assert data["calculator"] == name
        assert {"calculator", "inputs", "results", "notes", "sources"} <= set(data)
        assert set(CALCULATORS[name].example) <= set(data["inputs"])
        assert set(data["results"]) <= {each.key for each in CALCULATORS[name].results}
        assert data["results"]
        for result in data["results"].values():
            assert {"value", "unit"} <= set(result) <= {"value", "unit", "low", "high"}
            assert ("low" in result) == ("high" in result)
        assert all(isinstance(each, str) for each in (*data["notes"], *data["sources"]))

    def test_an_input_it_does_not_have_is_named(self, name: str) -> None:
        words = [f"{key}={value}" for key, value in CALCULATORS[name].example.items()]
        assert "colour: " in refusal(name, *words, "colour=red")

    def test_help_stands_before_everything_else(self, name: str) -> None:
        assert calc(name, "nonsense", "-h").stdout == calc(name, "--help").stdout


def test_values_are_si_and_the_band_is_that_of_the_tolerance() -> None:
    data = json.loads(calc("rc", "resistor=10k +/-1 %", "capacitor=1 uF +/-10 %", "--json").stdout)
    constant = data["results"]["time_constant"]
    assert constant["value"] == pytest.approx(10e-3)
    assert constant["unit"] == "s"
    assert constant["low"] == pytest.approx(10e-3 * 0.99 * 0.9)
    assert constant["high"] == pytest.approx(10e-3 * 1.01 * 1.1)


def test_what_is_left_out_is_solved_for() -> None:
    data = json.loads(calc("monostable", "device=74LS123", "capacitor=1uF", "pulse=15ms", "--json").stdout)
    # TI data sheet SDLS043: the 74LS123 gives 0.45 R C.
    assert data["results"]["resistor"]["value"] == pytest.approx(15e-3 / 0.45e-6)


def test_letters_of_other_alphabets_stay_readable_in_json() -> None:
    assert "\\u" not in calc("rc", "resistor=10k", "capacitor=1 µF", "--json").stdout


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (["rc", "resistor=10 V", "capacitor=1 uF"], "resistor: "),
        (["rc", "resistor=10", "capacitor=1 xF"], "capacitor: "),
        (["rc", "resistor=", "capacitor=1 uF"], "resistor: "),
        (["rc", "resistor=-10k", "capacitor=1 uF"], "resistor: "),
        (["rc", "resistor=1e999", "capacitor=1 uF"], "resistor: "),
        (["rc", "resistor=10k\n20k", "capacitor=1 uF"], "resistor: "),
        (["rc", "resistor=10k", "capacitor=1 uF", "resistor=20k"], '"resistor" is given twice'),
        (["rc", "10k"], '"10k" is no input; write input=value'),
        (["rc", "resistr=10k", "capacitor=1 uF"], "resistr: "),
        (["tempo"], "bpm"),
        (["monostable", "device=74LS999", "capacitor=1uF", "pulse=15ms"], "device: "),
        (["rcc"], 'there is no calculator "rcc"; '),
        (["Rc", "--help"], 'there is no calculator "Rc"; did you mean "rc"?'),
        (["no\nsuch"], 'there is no calculator "no such"'),
        (["rc", "=10k"], ": "),
    ],
)
def test_a_wrong_command_is_answered_in_one_line_that_names_the_input(words: list[str], named: str) -> None:
    assert named in refusal(*words)


def test_several_wrong_inputs_are_told_together() -> None:
    line = refusal("rc", "resistor=10 V", "capacitor=1 s")
    assert "resistor: " in line
    assert "capacitor: " in line


def test_an_option_that_does_not_exist_is_a_mistake_of_the_command() -> None:
    assert calc("rc", "--jsn").exit_code == 2


def test_help_without_a_name_is_that_of_the_command() -> None:
    found = calc("--help")
    assert found.exit_code == 0
    assert "without a name, list the calculators" in found.stdout
