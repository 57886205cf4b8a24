"""`halfsplit calc gate_match output=model/socket input=…`: the shop's sockets in place of levels."""

from __future__ import annotations

import json
import shlex

import pytest
from click.testing import Result

from tests.benches import DEMO
from tests.cli.shops import run

SHORT = ("output=sixteenfold/trigger-out-early", "input=sorrel/trigger-in")


def gate_match(*words: str) -> Result:
    return run("calc", "gate_match", "--shop", str(DEMO), *words)


def test_sockets_stand_for_their_levels_at_the_end_that_is_sure() -> None:
    found = json.loads(gate_match(*SHORT, "--json").stdout)
    assert found["inputs"] == {
        "output": "sixteenfold/trigger-out-early", "input": "sorrel/trigger-in", "output_high": "4.4 V",
        "output_low": "300 mV", "output_duration": "4 ms", "input_high": "4.4 V", "input_low": "800 mV",
        "input_duration": "5 ms",
    }  # fmt: skip
    assert found["results"]["duration_margin"]["value"] == pytest.approx(-1e-3)
    assert found["results"]["verdict"]["value"] == "pulse too short"
    assert found["fit"] == {"verdict": "does not fit", "faults": ["pulse too short"], "missing": []}


def test_the_cure_is_a_command_that_runs() -> None:
    (cure,) = json.loads(gate_match(*SHORT, "--json").stdout)["cure"]
    (command,) = cure["commands"]
    made = json.loads(run(*shlex.split(command)[1:], "--json").stdout)
    assert made["results"]["preferred"]["value"] == 15e3
    assert cure["do"] in gate_match(*SHORT).stdout


def test_what_is_written_beside_a_socket_counts_more() -> None:
    found = json.loads(gate_match(*SHORT, "input_duration=3 ms", "--json").stdout)
    assert found["results"]["verdict"]["value"] == "fits"
    assert "cure" not in found


def test_one_end_may_be_levels() -> None:
    found = json.loads(gate_match("output=sorrel/gate-out", "input_high=3 V", "--json").stdout)
    assert found["results"]["level_margin"]["value"] == pytest.approx(6.0)


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (["output=sixtenfold/gate-out"], 'output: there is no model "sixtenfold"; did you mean "sixteenfold'),
        (["output=sixteenfold/gate-ot"], 'output: sixteenfold has no socket "gate-ot"; did you mean "gate-'),
        (["output=sorrel/gate-in"], "output: sorrel/gate-in is an input; name an output of the model"),
        (["input=sorrel/pitch-in"], "input: sorrel/pitch-in carries pitch and has no gate levels; "),
    ],
)  # fmt: skip
def test_a_wrong_socket_is_one_line_that_names_the_input(words: list[str], line: str) -> None:
    found = gate_match(*words, "output_high=5 V" if words[0].startswith("input") else "input_high=2 V")
    assert (found.exit_code, found.stdout) == (2, "")
    (told,) = found.stderr.splitlines()
    assert told.startswith(line)
