"""Runs ngspice, which knows none of our formulas, on a netlist written in a test."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

needs_simulator = pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")


def simulated(tmp_path: Path, netlist: str) -> dict[str, float]:
    """The measurements of `netlist` by name."""
    place = tmp_path / "circuit.cir"
    place.write_text(f"* check\n{netlist}\n.end\n", encoding="ascii")
    # Without a home to look for its settings in, the simulator falls over before it reads the netlist.
    surroundings = {**os.environ, "HOME": str(tmp_path)}
    done = subprocess.run(
        ["ngspice", "-b", place.name],
        cwd=tmp_path, env=surroundings, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    found = re.findall(r"^(\w+)\s*=\s*([-+0-9.eE]+)", done.stdout, re.MULTILINE)
    assert found, done.stdout + done.stderr
    return {name: float(value) for name, value in found}
