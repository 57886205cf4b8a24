"""A circuit simulator, which knows none of our formulas, finds the same times."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from kb.calculators import calculate

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed"),
]
EXACT = {"resistor_tolerance": "0 %", "capacitor_tolerance": "0 %"}


def measured(tmp_path: Path, netlist: str) -> dict[str, float]:
    """Run `netlist` and return its measurements by name."""
    place = tmp_path / "circuit.cir"
    place.write_text(f"* check\n{netlist}\n.end\n", encoding="ascii")
    done = subprocess.run(
        ["ngspice", "-b", place.name], cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False
    )
    found = re.findall(r"^(\w+)\s*=\s*([-+0-9.eE]+)", done.stdout, re.MULTILINE)
    assert found, done.stdout + done.stderr
    return {name: float(value) for name, value in found}


def test_rc_step(tmp_path: Path) -> None:
    seen = measured(
        tmp_path,
        """V1 in 0 PULSE(0 5 1u 1n 1n 100m 200m)
R1 in out 22k
C1 out 0 47n
.tran 1u 8m 0 1u
.meas tran rise TRIG v(out) VAL=0.5 RISE=1 TARG v(out) VAL=4.5 RISE=1
.meas tran reach TRIG v(in) VAL=2.5 RISE=1 TARG v(out) VAL=1.5 RISE=1""",
    )
    found = calculate("rc", {"resistor": "22k", "capacitor": "47n", "threshold": "1.5 V", "supply": "5 V"})
    assert found.result("rise_time").value == pytest.approx(seen["rise"], rel=1e-3)
    assert found.result("time_to_threshold").value == pytest.approx(seen["reach"], rel=2e-3)


def test_reservoir_through_a_bleeder(tmp_path: Path) -> None:
    seen = measured(
        tmp_path,
        """C1 a 0 470u IC=385
R1 a 0 33k
.tran 5m 60 0 5m UIC
.meas tran limit WHEN v(a)=42.4 FALL=1
.meas tran left FIND v(a) AT=10""",
    )
    found = calculate("discharge", {"capacitor": "470u", "voltage": "385 V", "resistor": "33k"})
    assert found.result("time").value == pytest.approx(seen["limit"], rel=1e-3)
    at_ten = calculate(
        "discharge",
        {"capacitor": "470u", "voltage": "385 V", "resistor": "33k", "safe": f"{seen['left']:.6g} V"},
    )
    assert at_ten.result("time").value == pytest.approx(10, rel=1e-3)


def test_555_one_shot(tmp_path: Path) -> None:
    """The pin is let go at 1 ms and caught when it passes two thirds of the supply."""
    seen = measured(
        tmp_path,
        """VCC vcc 0 5
R1 vcc c 33k
C1 c 0 100n
VHOLD hold 0 PULSE(5 0 1m 1n 1n 1 2)
S1 c 0 hold 0 SW1
.model SW1 SW(VT=2.5 VH=0 RON=0.1 ROFF=1e12)
.tran 2u 8m 0 2u
.meas tran pulse TRIG v(hold) VAL=2.5 FALL=1 TARG v(c) VAL=3.3333333 RISE=1""",
    )
    found = calculate("monostable", {"device": "NE555", "resistor": "33k", "capacitor": "100n", **EXACT})
    assert found.result("pulse").value == pytest.approx(seen["pulse"], rel=2e-3)


def test_4047_one_shot_with_a_gate_at_half_supply(tmp_path: Path) -> None:
    """The timing node falls from 2 VDD to VTR, is pushed down by VDD, and rises to VTR again."""
    seen = measured(
        tmp_path,
        """R1 a 0 10k
C1 a 0 10n IC=10
VDD vdd 0 5
R2 vdd b 10k
C2 b 0 10n IC=-2.5
.tran 0.1u 400u 0 0.1u UIC
.meas tran fall WHEN v(a)=2.5 FALL=1
.meas tran rise WHEN v(b)=2.5 RISE=1""",
    )
    found = calculate("monostable", {"device": "4047", "resistor": "10k", "capacitor": "10n", **EXACT})
    # -ln[VTR(VDD - VTR)/((2 VDD - VTR)(2 VDD))] is the sum of one fall from 2 VDD and one rise from VTR - VDD
    assert found.result("pulse").value == pytest.approx(seen["fall"] + seen["rise"], rel=2e-3)
